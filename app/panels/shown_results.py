"""The results of the axle that is shown: which exist, and which are listed first."""

from __future__ import annotations

from app.document.edits import set_clearance, set_limit
from app.document.ends import key_in
from app.document.keys import KEYS
from app.document.model import Limit, Setup
from app.document.moves import proposed_values
from app.session.session import Session
from app.systems.clearance.results import (
    clearance_named,
    clearance_result,
    is_clearance,
    limit_of,
)
from geometry.catalogue.every import result_of
from geometry.catalogue.front import Result


def results_asked(session: Session) -> tuple[Result, ...]:
    """Return the results that fit the car's kind of springs."""
    study = session.study
    if study is None:
        return ()
    kind = spring_kind(session)
    return tuple(result for result in study.results if result.only_with in ("", kind))


def find_result(session: Session, key: str) -> Result | None:
    """Return a result by its key, None where this axle doesn't have it.

    Raises
    ------
    KeyError
        No axle has a result of that key.
    """
    if is_clearance(key):
        clearance = clearance_named(session.setup, session.system.key, key)
        return None if clearance is None else clearance_result(clearance)
    result = None if session.study is None else result_of(session.study.results, key)
    if result is None or not result.only_with:
        return result
    return result if result.only_with == spring_kind(session) else None


def spring_kind(session: Session) -> str:
    """Return the kind of the front's springs as proposed: "coil" where the setup doesn't say."""
    kind = proposed_values(session.setup).get("front.spring.kind")
    return "torsion bar" if kind == "torsion bar" else "coil"


def limit_asked(session: Session, result: Result) -> Limit | None:
    """Return the limit that the setup puts on a result of the axle that is shown."""
    if is_clearance(result.key):
        clearance = clearance_named(session.setup, session.system.key, result.key)
        return None if clearance is None else limit_of(clearance)
    return session.setup.limits.get(limit_key(session, result))


def with_limit(session: Session, result: Result, limit: Limit | None) -> Setup:
    """Return the setup with a limit put on a result, or on a clearance; none takes it off."""
    setup = session.history.value
    if not is_clearance(result.key):
        return set_limit(setup, limit_key(session, result), limit)
    clearance = clearance_named(setup, session.system.key, result.key)
    assert clearance is not None  # whose row this is
    least, by = (None, "") if limit is None else (limit.minimum, limit.by)
    return set_clearance(setup, clearance, least, by)


def limit_key(session: Session, result: Result) -> str:
    """Return the key under which a limit of a result is kept."""
    return key_in(session.system.key, result.key)


def needs_words(session: Session, result: Result) -> str:
    """Return what a result lacks, as a person would call it: "needs: wheelbase"."""
    study = session.study
    keys = study.missing.get(result.key, ()) if study is not None else ()
    names = [KEYS[key].in_sentence if key in KEYS else key for key in keys]
    return f"needs: {', '.join(names)}" if names else ""
