"""Cautions come from data; none is lost."""

from truebed.care.cautions import all_cautions, cautions_for


def test_the_usual_dangers_of_the_work_are_all_there():
    keys = {c.key for c in all_cautions()}
    assert {
        "traffic", "dust", "vibration", "noise", "lifting", "resin-vapour", "peroxide", "confined-space",
        "buried-services",
    } <= keys  # fmt: skip


def test_every_caution_has_a_sentence_and_a_source():
    assert all(len(c.text) > 20 and c.source for c in all_cautions())


def test_traffic_is_always_shown_and_others_only_when_asked():
    assert [c.key for c in cautions_for(())] == ["traffic"]
    assert {c.key for c in cautions_for(("noise", "dust"))} == {"traffic", "noise", "dust"}


def test_a_hazard_of_a_sheet_without_a_text_is_still_shown():
    found = cautions_for(("strange-fumes",))
    assert found[-1].title == "Strange fumes"
    assert "data sheet" in found[-1].text
