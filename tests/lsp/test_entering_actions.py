"""Entries that a plan lacks: names that are defined, labels, and lamps that become parts."""

from __future__ import annotations

import pytest
from test_code_actions import NAME, after, ask, capabilities, club, do, one, rules, snapshot_of, titles

from lampwright.analysis.electrical.facts import Undetermined
from lampwright.text import Source
from lampwright_lsp.documents import Documents
from lsp_seam import FOLDER
from lsp_seam import lay as type_in

BLOCK = """\
vehicle: {name: Quarry switcher 7}
supply: {track: 14.5 V}
decoder: six.decoder.yaml
parts: [club.parts.yaml]
lamps:
  headlamp: {part: small white}  # the front one
  # in the cab
  cab lamp:
    # measured
    bulb: {voltage: 12 V,  # at the bench
           current: 40 mA}
  step lamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
outputs:
  white: {circuit: [1.5 kohm 1/4 W, headlamp]}
  brown: {circuit: [39 ohm 1 W, cab lamp]}
  green: {circuit: [1.5 kohm 1/4 W, step lamp]}
keys:
  F0: {turns-on: [{output: white}]}
  F2: {}
  F7:
    # the cab
    turns-on: [{output: [brown, green]}]
"""
SHEET = """\
name: Six
common: {drop: 1.4 V}
outputs: {white: {number: 1, limit: 100 mA}, brown: {number: 2, limit: 100 mA}, green: {number: 3, limit: 100 mA}}
keys: {highest: 28, mapping: by-function}
"""
PARTS = """\
# What the club has.
lamps:
  small white:
    led: {forward-voltage: 3.0 V, maximum-current: 20 mA}
    stock: 4  # in the drawer

# Not counted.
resistors: []
"""
SETTINGS = "lampwright: 1\nkeys: {F0: Headlamps, F2: 'Horn: loud', F7: Cab, F9: Sand}\n"
FILES = {NAME: BLOCK, "six.decoder.yaml": SHEET, "club.parts.yaml": PARTS, "lampwright.yaml": SETTINGS}


def with_plan(old: str = "", new: str = "", **others: str) -> Documents:
    assert old in BLOCK
    names = {"parts": "club.parts.yaml", "sheet": "six.decoder.yaml", "settings": "lampwright.yaml"}
    return club({**FILES, NAME: BLOCK.replace(old, new), **{names[name]: text for name, text in others.items()}})


def unknown(made: Documents) -> list[str]:
    return [each.culprit for each in snapshot_of(made, FOLDER + NAME).report.findings if each.rule == "unknown-name"]


def paths(made: Documents) -> dict[str, tuple[str, ...]]:
    """Where the names are that are not defined."""
    findings = snapshot_of(made, FOLDER + NAME).report.findings
    return {each.culprit: each.path for each in findings if each.rule == "unknown-name"}


# --- Definitions ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
@pytest.mark.parametrize(
    ("old", "new", "name", "file", "before", "inserted"),
    [
        ("W, headlamp]", "W, tower light]", "tower light", NAME, "maximum-current: 20 mA}}\n", "  tower light: {}\n"),
        (
            "part: small white",
            "part: glow worm",
            "glow worm",
            "club.parts.yaml",
            "in the drawer\n",
            "  glow worm: {}\n",
        ),
        ("output: white", "output: purple", "purple", NAME, "step lamp]}\n", "  purple: {}\n"),
        ("  white: {", "  purple: {", "purple", "six.decoder.yaml", "number: 3, limit: 100 mA}", ", purple: {}"),
    ],
)
def test_a_name_is_defined_where_its_like_are(  # noqa: PLR0917
    line_end: str, old: str, new: str, name: str, file: str, before: str, inserted: str
) -> None:
    made = club({each: text.replace("\n", line_end) for each, text in FILES.items()})
    type_in(made, NAME, BLOCK.replace(old, new, 1).replace("\n", line_end))
    assert name in unknown(made)
    action = one(ask(made, at=name), "Define the ")
    assert action.edit is not None
    assert [each.needs_confirmation for each in (action.edit.change_annotations or {}).values()] == [True]
    texts = after(made, action)
    was = (BLOCK.replace(old, new, 1) if file == NAME else FILES[file]).replace("\n", line_end)
    before, inserted = before.replace("\n", line_end), inserted.replace("\n", line_end)
    assert was.count(before) == 1
    assert texts == {FOLDER + file: was.replace(before, before + inserted)}
    path = paths(made)[name]
    do(made, action)
    # An output of the plan that its decoder has not is another mistake, in another place.
    assert paths(made).get(name) in (None, ("outputs", "purple"))
    assert paths(made).get(name) != path
    # What nobody but the installer knows is asked for.
    assert "missing-key" in rules(made)


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("lamps: {}", "lamps: {tower: {}}"),
        ("lamps: {\n  cab: {part: p},\n}", "lamps: {\n  cab: {part: p},\n  tower: {},\n}"),
        ("lamps: {\n  cab: {part: p}  # x\n}", "lamps: {\n  cab: {part: p},\n  tower: {}  # x\n}"),
        ("lamps: {cab: {part: p},}", "lamps: {cab: {part: p}, tower: {},}"),
        ("lamps:\n    cab:\n      part: p\n  # end", "lamps:\n    cab:\n      part: p\n    tower: {}\n  # end"),
    ],
)
def test_a_lamp_is_defined_in_the_style_of_the_file(written: str, meant: str) -> None:
    text = "vehicle: {name: Tram}\ndecoder: {outputs: {white: {number: 1}}}\n%s\noutputs: {white: {circuit: [tower]}}\nkeys: {}\n"
    made = club({NAME: text % written})
    assert after(made, one(ask(made, at="tower]"), "Define"))[FOLDER + NAME] == text % meant


@pytest.mark.parametrize(
    ("parts", "meant"),
    [
        ("resistors: []", "resistors: []\nlamps:\n  step lamp: {led"),
        ("{resistors: []}", "{resistors: [], lamps: {step lamp: {led"),
        ("lamps:  # none yet\nresistors: []\n", "lamps:  # none yet\n  step lamp: {led"),
        ("{lamps: , resistors: []}", "{lamps: {step lamp: {led"),
        ("lamps:\r\n", "lamps:\r\n  step lamp: {led"),
    ],
)
def test_a_section_that_is_not_there_is_made(parts: str, meant: str) -> None:
    made = with_plan("{part: small white}", "{bulb: {voltage: 12 V, current: 40 mA}}", parts=parts)
    do(made, one(ask(made, at="step lamp: {led"), "Take"))
    assert snapshot_of(made, FOLDER + "club.parts.yaml").source.text.startswith(meant)
    assert (unknown(made), "syntax-error" in rules(made)) == ([], False)


def test_an_output_of_a_sheet_within_the_plan_is_defined_there() -> None:
    text = "vehicle: {name: Tram}\ndecoder:\n  outputs:\n    white: {number: 1}\nlamps: {}\noutputs: {purple: {circuit: []}}\nkeys: {}\n"
    made = club({NAME: text})
    action = one(ask(made, at="purple"), 'Define the output "purple"')
    assert after(made, action)[FOLDER + NAME] == text.replace("number: 1}\n", "number: 1}\n    purple: {}\n")


GLOWING = ("W, headlamp]", "W, headlamp], effect: glow")


@pytest.mark.parametrize(
    ("effects", "meant"),
    [
        ("effects: {steady: {code: 0}}\n", "effects: {steady: {code: 0}, glow: {code: }}\n"),
        ("effects:\n  steady: {code: 0}\n", "effects:\n  steady: {code: 0}\n  glow: {code: }\n"),
        ("effects: {}\n", "effects: {glow: {code: }}\n"),
    ],
)
def test_an_effect_is_defined_in_the_sheet_and_its_code_is_asked_for(effects: str, meant: str) -> None:
    made = with_plan(*GLOWING, sheet=SHEET + effects)
    action = one(ask(made, at="glow"), 'Define the effect "glow"')
    assert action.edit is not None
    assert [each.needs_confirmation for each in (action.edit.change_annotations or {}).values()] == [True]
    assert after(made, action) == {FOLDER + "six.decoder.yaml": SHEET + meant}
    do(made, action)
    assert unknown(made) == []
    asked_for = [each.path for each in snapshot_of(made, FOLDER + NAME).report.findings if each.rule == "wrong-shape"]
    assert asked_for == [("effects", "glow", "code")]


def test_an_effect_that_may_be_a_slip_or_of_which_the_sheet_says_nothing_is_not_defined() -> None:
    made = with_plan(*GLOWING, sheet=SHEET + "effects: {glows: {code: 1}}\n")
    assert not any(title.startswith("Define") for title in titles(ask(made, at="glow")))
    # Where no effects are listed, none is unknown; and a sheet that is broken is left alone.
    assert not any(title.startswith("Define") for title in titles(ask(with_plan(*GLOWING), at="glow")))
    broken = with_plan(*GLOWING, sheet=SHEET + "effects: {steady: {code: 0}}\n[\n")
    assert not any(title.startswith("Define") for title in titles(ask(broken, at="glow")))


def test_a_slip_defines_nothing() -> None:
    made = with_plan("W, headlamp]", "W, hedlamp]")
    actions = ask(made, at="hedlamp]")
    assert any(title.startswith("Write ") for title in titles(actions))
    assert not any(title.startswith("Define") for title in titles(actions))


@pytest.mark.parametrize("name", ["'a: b'", "F3", "'- x'", "'#'", "forward"])
def test_what_can_be_no_name_is_not_defined(name: str) -> None:
    made = with_plan("output: white", f"output: {name}")
    assert not any(title.startswith("Define") for title in titles(ask(made)))


def test_nothing_is_defined_in_what_cannot_be_read() -> None:
    made = with_plan("part: small white", "part: glow worm", parts="lamps: {small white: [\n")
    assert not any(title.startswith("Define") for title in titles(ask(made)))
    made = with_plan("[club.parts.yaml]", "[]")
    assert not any(title.startswith(("Define", "Take")) for title in titles(ask(made)))


# --- Labels -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("at", "title", "old", "new"),
    [
        ("F0", "Label F0 as Headlamps", "F0: {", "F0: {label: Headlamps, "),
        ("F2", "Label F2 as Horn: loud", "F2: {", 'F2: {label: "Horn: loud"'),
        ("F7", "Label F7 as Cab", "turns-on: [{output: [brown", "label: Cab\n    turns-on: [{output: [brown"),
    ],
)
def test_a_key_gets_its_label_from_the_convention(at: str, title: str, old: str, new: str) -> None:
    made = with_plan()
    action = one(ask(made, at=at), title)
    assert str(getattr(action.kind, "value", action.kind)) == "refactor.rewrite"
    assert after(made, action) == {FOLDER + NAME: BLOCK.replace(old, new)}
    before = rules(made)
    do(made, action)
    assert rules(made) == before
    assert title not in titles(ask(made, at=at))


def test_a_key_that_has_a_label_or_is_free_gets_none() -> None:
    labelled = with_plan("F0: {", "F0: {label: Headlamps, ")
    assert not any(title.startswith("Label F0") for title in titles(ask(labelled)))
    assert not any(title.startswith("Label") for title in titles(ask(with_plan(settings="lampwright: 1\n"))))
    assert not any(title.startswith("Label") for title in titles(ask(with_plan(), automatic=True)))
    assert not any(title.startswith("Label") for title in titles(ask(with_plan(), at="vehicle")))


def test_a_label_off_the_convention_is_rewritten_by_its_fix() -> None:
    made = with_plan("F0: {", "F0: {label: Front lights, ")
    assert after(made, one(ask(made, at="Front lights"), "Write Headlamps")) == {
        FOLDER + NAME: BLOCK.replace("F0: {", "F0: {label: Headlamps, ")
    }


# --- Parts ------------------------------------------------------------------------------------------------------------


def carried(made: Documents) -> list[tuple[str, float, float]]:
    """What each element of each output carries and turns into heat."""
    facts = snapshot_of(made, FOLDER + NAME).context.electrical.outputs
    return [
        (name, each.current.usual, each.power.usual)
        for name, output in facts.items()
        if not isinstance(output, Undetermined)
        for each in output.elements
    ]


def test_a_lamp_becomes_a_part_and_carries_what_it_carried() -> None:
    made = with_plan()
    before, was = rules(made), carried(made)
    assert len(was) == 6
    do(made, one(ask(made, at="step lamp: {led"), 'Take the data of "step lamp" into club.parts.yaml'))
    do(made, one(ask(made, at="cab lamp:"), 'Take the data of "cab lamp" into club.parts.yaml'))
    plan, parts = (snapshot_of(made, FOLDER + name).source.text for name in (NAME, "club.parts.yaml"))
    assert "  step lamp: {part: step lamp}\n" in plan
    assert "  cab lamp:\n    # measured\n    part: cab lamp\n" in plan
    assert parts == PARTS.replace(
        "in the drawer\n",
        "in the drawer\n  step lamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}\n"
        "  cab lamp:\n    bulb: {voltage: 12 V,  # at the bench\n           current: 40 mA}\n",
    )
    assert (rules(made), carried(made)) == (before, was)
    assert not any(title.startswith("Take") for title in titles(ask(made)))


def test_a_name_that_is_taken_is_not_taken_again() -> None:
    taken = PARTS.replace("small white:", "step lamp: {bulb: {voltage: 1 V, current: 1 mA}}\n  small white:")
    made = with_plan(parts=taken)
    texts = after(made, one(ask(made, at="step lamp: {led"), "Take"))
    assert "  step lamp: {part: step lamp 2}\n" in texts[FOLDER + NAME]
    assert "  step lamp 2: {led: {forward" in texts[FOLDER + "club.parts.yaml"]


def test_a_catalogue_in_braces_takes_what_stands_on_one_line() -> None:
    made = with_plan(parts="{lamps: {small white: {led: {forward-voltage: 3.0 V}}}}")
    texts = after(made, one(ask(made, at="step lamp: {led"), "Take"))
    assert texts[FOLDER + "club.parts.yaml"] == (
        "{lamps: {small white: {led: {forward-voltage: 3.0 V}},"
        " step lamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}}}"
    )
    assert not any(title.startswith("Take") for title in titles(ask(made, at="cab lamp:")))


def test_only_a_lamp_with_data_of_its_own_is_taken() -> None:
    made = with_plan()
    for place in ("headlamp: {part", "outputs:", "F0"):
        assert not any(title.startswith("Take") for title in titles(ask(made, at=place)))
    assert not any(title.startswith("Take") for title in titles(ask(made, at="step lamp: {led", automatic=True)))
    assert ask(made, at="step lamp: {led", only=["refactor.inline"]) == []


def test_a_catalogue_that_changed_meanwhile_is_left_alone() -> None:
    made = with_plan()
    old = snapshot_of(made, FOLDER + "club.parts.yaml").source
    type_in(made, "club.parts.yaml", PARTS + "# more\n", version=2)
    assert isinstance(old, Source)
    with pytest.raises(ValueError, match="changed meanwhile"):
        made.version(FOLDER + "club.parts.yaml", old)
    edit = one(ask(made, at="step lamp: {led"), "Take").edit
    assert edit is not None
    assert sorted(each.text_document.version or 0 for each in edit.document_changes or ()) == [1, 2]  # type: ignore[union-attr]


def test_old_clients_get_the_same_in_both_files() -> None:
    made = club(FILES, capabilities(versions=False))
    texts = after(made, one(ask(made, at="step lamp: {led"), "Take"))
    assert set(texts) == {FOLDER + NAME, FOLDER + "club.parts.yaml"}
