"""What can be done about a place, applied as an editor would apply it."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from lsprotocol import types

from command import BURNING, FAULTY_SHEET, PLAN, REFERRING, SHEET, Command
from lampwright.diagnostics import Finding
from lampwright.text import Encoding, apply
from lampwright_lsp.addresses import uri_of
from lampwright_lsp.client import Client
from lampwright_lsp.convert import Positions, buffer
from lampwright_lsp.desk import Desk
from lampwright_lsp.documents import Documents, Snapshot
from lampwright_lsp.features.code_actions import FIX_ALL, code_actions, resolved
from lampwright_lsp.texts import Text
from lsp_seam import FOLDER, documents
from lsp_seam import lay as type_in

EXAMPLES = Path(__file__).parents[2] / "examples"
MISTAKES = sorted(path.relative_to(EXAMPLES).as_posix() for path in (EXAMPLES / "mistakes").rglob("*.yaml"))
NAME = "plan.lights.yaml"
TYPED = PLAN.replace("14.5 V", "14,5 V").replace("surge: 400 mA", "surge: 400 ma")


def capabilities(
    *, versions: bool = True, asks: bool = True, resolves: bool = True, snippets: bool = False, literals: bool = True
) -> types.ClientCapabilities:
    """What a client can do."""
    literal = types.ClientCodeActionLiteralOptions(types.ClientCodeActionKindOptions([]))
    code_action = types.CodeActionClientCapabilities(
        code_action_literal_support=literal if literals else None,
        data_support=resolves,
        resolve_support=types.ClientCodeActionResolveOptions(["edit"]) if resolves else None,
    )
    edit = types.WorkspaceEditClientCapabilities(
        document_changes=versions,
        change_annotation_support=types.ChangeAnnotationsSupportOptions() if asks else None,
        snippet_edit_support=snippets,
    )
    return types.ClientCapabilities(
        text_document=types.TextDocumentClientCapabilities(code_action=code_action),
        workspace=types.WorkspaceClientCapabilities(workspace_edit=edit),
    )


def club(
    files: Mapping[str, str], can: types.ClientCapabilities | None = None, encoding: Encoding = "utf-16"
) -> Documents:
    return documents(files, encoding, can or capabilities())


def snapshot_of(made: Documents, uri: str) -> Snapshot:
    snapshot = made.snapshot(uri)
    assert snapshot is not None
    return snapshot


def ask(
    made: Documents,
    uri: str = FOLDER + NAME,
    at: str | Finding | None = None,
    only: list[str] | None = None,
    shown: list[types.Diagnostic] | None = None,
    *,
    automatic: bool = False,
) -> list[types.CodeAction]:
    """What is offered at the first place of a text, at a finding, or (None) about all of it."""
    snapshot = snapshot_of(made, uri)
    source = snapshot.source
    if isinstance(at, Finding):
        span = at.span
    else:
        start = source.text.index(at) if at is not None else 0
        span = source.span(start, start + len(at) if at is not None else len(source.text))
    trigger = types.CodeActionTriggerKind.Automatic if automatic else types.CodeActionTriggerKind.Invoked
    context: Any = types.CodeActionContext(shown or [], only, trigger)
    params = types.CodeActionParams(types.TextDocumentIdentifier(uri), snapshot.positions.range(span), context)
    found = code_actions(made, params) or []
    actions = [each for each in found if isinstance(each, types.CodeAction)]
    assert len(actions) == len(found)
    return actions


def one(actions: list[types.CodeAction], start: str) -> types.CodeAction:
    (found,) = [each for each in actions if each.title.startswith(start)]
    return found


def titles(actions: list[types.CodeAction]) -> list[str]:
    return [each.title for each in actions]


def changes(edit: types.WorkspaceEdit | None) -> dict[str, list[Any]]:
    assert edit is not None
    assert (edit.changes is None) is not (edit.document_changes is None)
    if edit.changes is not None:
        return {uri: list(edits) for uri, edits in edit.changes.items()}
    return {each.text_document.uri: list(each.edits) for each in edit.document_changes or () if hasattr(each, "edits")}


def after(made: Documents, action: types.CodeAction, encoding: Encoding = "utf-16") -> dict[str, str]:
    """The texts that an action changes, counted anew from what the client has."""
    positions, texts = Positions(encoding), {}
    for uri, edits in changes(action.edit).items():
        text = made.desk.text(uri)
        whole = text.whole if text is not None else snapshot_of(made, uri).source.text
        # Applied from the last on, each to a text of its own: not as the server does it.
        for edit in sorted(edits, key=lambda each: (each.range.start.line, each.range.start.character), reverse=True):
            source = buffer("x", whole)
            span = positions.span(source, edit.range)
            lead = whole[: len(whole) - len(source.text)]
            new = edit.snippet.value if isinstance(edit, types.SnippetTextEdit) else edit.new_text
            whole = lead + source.text[: span.start] + new + source.text[span.end :]
        texts[uri] = whole
    return texts


def rules(made: Documents, uri: str = FOLDER + NAME) -> list[str]:
    return [each.rule for each in snapshot_of(made, uri).report.findings if each.allowed is None]


def do(made: Documents, action: types.CodeAction) -> None:
    """Make the edit, as the editor does."""
    for uri, text in after(made, action).items():
        type_in(made, uri.removeprefix(FOLDER), text, version=9)


# --- The fixes of the examples ----------------------------------------------------------------------------------------


def at_examples(folder: Path, can: types.ClientCapabilities | None = None) -> Documents:
    desk = Desk()
    desk.folders = (folder,)
    return Documents(desk, Client(can or capabilities(), Positions("utf-16")))


def opened(made: Documents, path: Path, text: str, version: int = 1) -> str:
    uri = uri_of(path)
    made.desk.lay(Text(uri, version, (text,)))
    return uri


@pytest.mark.parametrize("name", MISTAKES)
def test_each_fix_of_an_example_gives_the_text_that_the_fix_gives(name: str) -> None:
    made = at_examples(EXAMPLES)
    text = (EXAMPLES / name).read_bytes().decode()
    uri = opened(made, EXAMPLES / name, text)
    snapshot = snapshot_of(made, uri)
    before = rules(made, uri)
    found = [each for each in snapshot.report.findings if each.span.source is snapshot.source and not each.allowed]
    for finding in found:
        offered = ask(made, uri, finding)
        for fix in finding.fixes:
            action = next(each for each in offered if each.title == fix.title)
            (fixed,) = after(made, action).values()
            assert fixed == apply(snapshot.source, fix.edits)
            again = at_examples(EXAMPLES)
            left = rules(again, opened(again, EXAMPLES / name, fixed))
            assert left.count(finding.rule) < before.count(finding.rule)
            assert len(left) < len(before)


@pytest.mark.parametrize("name", MISTAKES)
def test_all_sure_fixes_are_those_of_the_command_to_the_byte(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, command: Command
) -> None:
    folder = tmp_path / "examples"
    shutil.copytree(EXAMPLES, folder)
    monkeypatch.chdir(folder)
    old = (folder / name).read_bytes().decode()
    made = at_examples(folder)
    uri = opened(made, folder / name, old)
    offered = ask(made, uri, only=["source.fixAll"])
    command("fix", name)
    fixed = (folder / name).read_bytes().decode()
    assert bool(offered) is (fixed != old)
    for action in offered:
        assert (action.kind, action.edit) == (FIX_ALL, None)
        (edits,) = changes(resolved(made, action).edit).values()
        assert after(made, action) == {uri: fixed}
        assert all(edit.range.end.line - edit.range.start.line <= 1 for edit in edits)


@pytest.mark.parametrize("head", ["", "\ufeff", "# \U0001f682 Ω µ\r\n"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-16", "utf-32"])
def test_places_are_right_however_the_client_counts(encoding: Encoding, head: str) -> None:
    text = head + BURNING.replace("white: {circuit: [front", "white: {effect: 𝔏𝔏Ω, circuit: [front")
    text = text.replace("Quarry", "\U0001f682 Quarry").replace("14.5 V}", "14,5 V} # 𝔏")
    made = club({NAME: text}, encoding=encoding)
    action = one(ask(made, at="14,5 V"), "Write 14.5 V")
    assert after(made, action, encoding) == {FOLDER + NAME: text.replace("14,5", "14.5")}
    everything = resolved(made, one(ask(made, only=["source"]), "Make all"))
    assert after(made, everything, encoding) == {FOLDER + NAME: text.replace("14,5", "14.5")}


# --- What is offered, and how -----------------------------------------------------------------------------------------


def test_the_first_sure_fix_is_preferred_and_no_unsure_one_is() -> None:
    assert [each.title for each in ask(club({NAME: TYPED})) if each.is_preferred] == ["Write 14.5 V"]
    assert not any(each.is_preferred for each in ask(club({NAME: BURNING})))


def test_fixes_are_linked_to_what_the_client_shows() -> None:
    made = club({NAME: TYPED})
    snapshot = snapshot_of(made, FOLDER + NAME)
    here, there = (each for each in snapshot.report.findings if each.fixes)
    place = snapshot.positions.range
    by_data = types.Diagnostic(place(here.span), "said in other words", data=here.fingerprint)
    by_place = types.Diagnostic(place(here.span), "without data", code=here.rule)
    of_other = types.Diagnostic(place(there.span), "elsewhere", code=there.rule, data=there.fingerprint)
    for shown in (by_data, by_place):
        assert one(ask(made, shown=[of_other, shown]), "Write 14.5 V").diagnostics == [shown]
    assert one(ask(made, shown=[]), "Write 14.5 V").diagnostics is None


def test_what_is_not_sure_is_asked_for_where_the_client_can() -> None:
    unsure, sure = {NAME: BURNING}, {NAME: TYPED}
    action = one(ask(club(unsure), at="front headlamp]"), "Put in")
    assert action.edit is not None
    (question,) = (action.edit.change_annotations or {}).values()
    assert (question.label, question.needs_confirmation) == (action.title, True)
    assert all(isinstance(edit, types.AnnotatedTextEdit) for edits in changes(action.edit).values() for edit in edits)
    for files, can, title in ((sure, capabilities(), "Write 14.5"), (unsure, capabilities(asks=False), "Put in")):
        edit = one(ask(club(files, can)), title).edit
        assert edit is not None
        assert edit.change_annotations is None
        assert all(type(each) is types.TextEdit for edits in changes(edit).values() for each in edits)


def test_versions_are_told_where_the_client_can() -> None:
    edit = one(ask(club({NAME: TYPED})), "Write 14.5 V").edit
    assert edit is not None
    assert [each.text_document.version for each in edit.document_changes or ()] == [1]  # type: ignore[union-attr]
    edit = one(ask(club({NAME: TYPED}, capabilities(versions=False))), "Write 14.5 V").edit
    assert edit is not None
    assert (list(edit.changes or {}), edit.change_annotations) == ([FOLDER + NAME], None)


def test_only_what_is_asked_for_is_offered() -> None:
    made = club({NAME: TYPED})
    kinds = lambda **given: {str(getattr(each.kind, "value", each.kind)) for each in ask(made, **given)}  # noqa: E731
    assert kinds() == {"quickfix", FIX_ALL}
    assert kinds(automatic=True) == {"quickfix"}
    for only in ("source", "source.fixAll", FIX_ALL):
        # On saving, an editor asks of itself, for these alone.
        assert kinds(only=[only], automatic=True) == {FIX_ALL}
    assert kinds(only=["quickfix"]) == {"quickfix"}
    assert kinds(only=["refactor", "source.organizeImports", "quickfix.other", "source.fix"]) == set()
    assert kinds(only=[]) == set()
    assert kinds(only=[""]) == {"quickfix", FIX_ALL}


def test_nothing_is_offered_where_nothing_is_wrong_or_somebody_else_is_asked() -> None:
    assert ask(club({NAME: PLAN})) == []
    assert ask(club({NAME: TYPED}), at="lamps:", only=["quickfix"]) == []
    assert ask(club({NAME: TYPED}, capabilities(literals=False))) == []
    allowed = BURNING.replace("headlamp]}", "headlamp]}  # lampwright: allow unprotected-led -- the shop does")
    assert ask(club({NAME: allowed})) == []
    params = types.CodeActionParams(
        types.TextDocumentIdentifier(FOLDER + "notes.txt"),
        types.Range(types.Position(0, 0), types.Position(0, 0)),
        types.CodeActionContext([]),
    )
    assert code_actions(club({NAME: TYPED}), params) is None


def test_a_broken_text_is_answered() -> None:
    broken = TYPED + "  F1: {label: [\n"
    assert rules(club({NAME: broken})).count("syntax-error") == 1
    assert "Write 14.5 V" in titles(ask(club({NAME: broken}), at="14,5 V"))


# --- What changes meanwhile -------------------------------------------------------------------------------------------


def test_an_answer_to_an_older_text_does_no_harm() -> None:
    made = club({NAME: TYPED})
    action = one(ask(made, only=["source"]), "Make all")
    allow = one(ask(made, at="14,5 V"), "Allow decimal-comma")
    type_in(made, NAME, "# one line more\n" + TYPED, version=2)
    assert resolved(made, action).edit is None
    assert resolved(made, allow).edit is None
    fresh = resolved(made, one(ask(made, only=["source"]), "Make all")).edit
    assert fresh is not None
    assert [each.text_document.version for each in fresh.document_changes or ()] == [2]  # type: ignore[union-attr]


def test_what_was_never_offered_is_not_resolved() -> None:
    made = club({NAME: TYPED})
    for data in (None, 5, {}, {"uri": 7}, {"uri": FOLDER + NAME, "version": 1, "finding": ["no such", 0]}):
        assert resolved(made, types.CodeAction("x", data=data)).edit is None


# --- Sheets -----------------------------------------------------------------------------------------------------------


def test_the_sheet_of_the_buffer_counts() -> None:
    files = {NAME: REFERRING.replace("14.5 V", "14,5 V"), "bench-six.decoder.yaml": SHEET}
    made = club(files)
    assert "white" not in str(titles(ask(made)))
    type_in(made, "bench-six.decoder.yaml", SHEET.replace("white:", "grey:"), version=7)
    (action,) = [each for each in ask(made, at="white: {circuit") if each.title.startswith("Define")]
    assert action.edit is not None
    (change,) = action.edit.document_changes or ()
    assert isinstance(change, types.TextDocumentEdit)
    assert (change.text_document.uri, change.text_document.version) == (FOLDER + "bench-six.decoder.yaml", 7)


def test_a_sheet_is_fixed_by_itself_and_a_plan_does_not_fix_it() -> None:
    made = club({NAME: REFERRING, "bench-six.decoder.yaml": FAULTY_SHEET})
    assert ask(made) == []
    sheet = FOLDER + "bench-six.decoder.yaml"
    assert made.judged(FOLDER + NAME)
    assert titles(ask(made, sheet, only=["quickfix"])).count("Write 100 mA") == 1
    action = resolved(made, one(ask(made, sheet), "Make all"))
    assert after(made, action) == {sheet: SHEET}


# --- Allowances -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("resolves", [True, False])
def test_an_allowance_excuses_nothing_before_its_reason_is_written(resolves: bool) -> None:
    made = club({NAME: BURNING}, capabilities(resolves=resolves))
    action = one(ask(made, at="front headlamp]"), "Allow unprotected-led")
    assert (action.edit is None) is resolves
    text = after(made, resolved(made, action) if resolves else action)[FOLDER + NAME]
    assert text == BURNING.replace("headlamp]}", "headlamp]}  # lampwright: allow unprotected-led --")
    type_in(made, NAME, text)
    assert sorted(rules(made)) == ["unprotected-led", "useless-allowance"]
    type_in(made, NAME, text.replace("led --", "led -- the shop sells it with one"), version=3)
    assert rules(made) == []


def test_the_reason_of_another_allowance_is_not_borrowed() -> None:
    comment = "  # lampwright: allow useless-allowance, dim-led -- the shop does"
    made = club({NAME: BURNING.replace("headlamp]}", f"headlamp]}}{comment}")})
    action = resolved(made, one(ask(made, at="front headlamp]"), "Allow unprotected-led"))
    assert action.edit is not None
    do(made, action)
    assert "unprotected-led" in rules(made)


def test_the_cursor_goes_where_the_reason_is_written() -> None:
    made = club({NAME: BURNING}, capabilities(snippets=True))
    action = resolved(made, one(ask(made, at="front headlamp]"), "Allow unprotected-led"))
    ((edit,),) = changes(action.edit).values()
    assert isinstance(edit, types.SnippetTextEdit)
    assert edit.snippet.value == "  # lampwright: allow unprotected-led -- $0"


def test_nobody_is_made_to_wait_for_what_he_did_not_ask_for() -> None:
    can = capabilities(resolves=False)
    assert not any("Allow" in title for title in titles(ask(club({NAME: BURNING}, can), automatic=True)))
    assert any("Allow" in title for title in titles(ask(club({NAME: BURNING}, can))))


def test_no_allowance_is_offered_for_a_useless_one() -> None:
    text = PLAN.replace("headlamp]}", "headlamp]}  # lampwright: allow dim-led --")
    made = club({NAME: text})
    assert rules(made) == ["useless-allowance"]
    assert ask(made) == []


def test_many_findings_do_not_hide_what_cures_them_all() -> None:
    keys = "".join(f"  F{number}: {{label: x, momentry: true}}\n" for number in range(1, 69))
    made = club({NAME: PLAN + keys})
    actions = ask(made)
    assert sum(each.kind == types.CodeActionKind.QuickFix for each in actions) == 100
    assert one(actions, "Make all").kind == FIX_ALL
    eager = ask(
        club({NAME: PLAN + keys}, capabilities(resolves=False)), at="F1: {label: x, momentry", only=["quickfix"]
    )
    assert all(each.edit is not None for each in eager)
