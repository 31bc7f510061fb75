"""The sentence for a file that can't be studied for an unexpected reason."""

from __future__ import annotations


def unforeseen_words(name: str, error: Exception) -> str:
    """Return a sentence that says which file can't be studied, why, and what to do."""
    why = _why(error)
    return (
        f"{name} can't be studied: {why}. The file is as it was. This is a fault of the program: "
        "keep the file, and look for a value in it that no such car has."
    )


def _why(error: Exception) -> str:
    if isinstance(error, RecursionError):
        return "it is nested far too deep"
    if isinstance(error, MemoryError):
        return "it asks for more memory than there is"
    if isinstance(error, KeyError):
        return f"{error.args[0] if error.args else 'a value'} is needed and isn't there"
    kind = "its numbers lead to none" if isinstance(error, ArithmeticError) else "it stopped at"
    return f"{kind} ({type(error).__name__}: {' '.join(str(error).split())[:120]})"
