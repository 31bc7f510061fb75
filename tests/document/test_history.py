"""Undo and redo as a list of values."""

from app.document.history import History


def test_undo_and_redo_walk_the_values_with_their_words() -> None:
    history = History.of("a").push("b", "Write b").push("c", "Write c")
    assert (history.value, history.undo_words, history.redo_words) == ("c", "Write c", "")
    history = history.undo()
    assert (history.value, history.undo_words, history.redo_words) == ("b", "Write b", "Write c")
    assert history.redo().value == "c"
    history = history.undo().undo()
    assert (history.value, history.undo_words, history.redo_words) == ("a", "", "Write b")
    assert history.redo().redo().redo().value == "c"


def test_a_new_step_forgets_what_could_be_redone() -> None:
    history = History.of("a").push("b", "B").undo().push("c", "C")
    assert [step.value for step in history.steps] == ["a", "c"]


def test_a_value_equal_to_the_present_one_is_no_step() -> None:
    history = History.of("a")
    assert history.push("a", "Again") is history


def test_nudges_of_one_token_are_one_step() -> None:
    history = History.of(0).push(1, "Nudge", "k").push(2, "Nudge", "k").push(3, "Nudge", "k")
    assert [step.value for step in history.steps] == [0, 3]
    history = history.push(4, "Nudge", "other").push(5, "Set").push(6, "Set")
    assert [step.value for step in history.steps] == [0, 3, 4, 5, 6]


def test_nudged_back_to_where_it_began_leaves_no_step() -> None:
    history = History.of(0).push(1, "Nudge", "k").push(0, "Nudge", "k")
    assert [step.value for step in history.steps] == [0]
    assert history.is_saved


def test_what_is_saved_is_known_through_undo_and_redo() -> None:
    history = History.of("a").push("b", "B")
    assert not history.is_saved
    assert history.undo().is_saved
    history = history.mark_saved()
    assert history.is_saved
    assert not history.undo().is_saved
    assert history.undo().redo().is_saved
    assert history.push("c", "C").undo().is_saved


def test_a_saved_value_that_can_no_longer_be_reached_is_not_taken_for_another() -> None:
    history = History.of("a").push("b", "B").push("c", "C").mark_saved().undo().undo()
    history = history.push("x", "X").push("y", "Y")
    assert [step.value for step in history.steps] == ["a", "x", "y"]
    assert not any(h.is_saved for h in (history, history.undo(), history.undo().undo()))


def test_a_saved_value_is_not_merged_away() -> None:
    history = History.of(0).push(1, "Nudge", "k").mark_saved().push(2, "Nudge", "k")
    assert [step.value for step in history.steps] == [0, 1, 2]
    assert history.undo().is_saved
    history = history.push(3, "Nudge", "k").push(1, "Nudge", "k")
    assert [step.value for step in history.steps] == [0, 1]
    assert history.is_saved


def test_a_value_written_again_counts_as_saved() -> None:
    history = History.of("a").push("b", "B").push("a", "A")
    assert history.is_saved


def test_a_setup_that_was_never_saved_is_not_saved() -> None:
    assert not History.of("a", saved=False).is_saved
    assert not History.of("a", saved=False).push("b", "B").undo().is_saved
    assert History.of("a", saved=False).mark_saved().is_saved


def test_only_so_many_steps_are_kept() -> None:
    history = History.of(0)
    for number in range(1, 700):
        history = history.push(number, "Count")
    assert len(history.steps) == 500
    assert history.steps[0].value == 200
    assert not any(step.value == 0 for step in history.steps)
    assert history.saved is None
