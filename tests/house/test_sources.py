"""The register of documents, and what packaged rule sets cite."""

import tomllib
from importlib import resources

import pytest

from truebed.rules.packaged import packaged_rules
from truebed.sources import READ_AS, known_sources


def test_every_document_says_how_far_it_was_read():
    assert all(s.read_as in READ_AS and s.document and s.edition for s in known_sources().values())


def test_only_a_text_that_was_read_is_called_verified():
    assert {s.verified for s in known_sources().values() if s.read_as == "seen"} == {True}
    assert {s.verified for s in known_sources().values() if s.read_as != "seen"} == {False}


@pytest.mark.parametrize("name", sorted(packaged_rules()))
def test_every_packaged_limit_has_a_source_clause_and_tag(name):
    raw = tomllib.loads(packaged_rules()[name].decode())
    for value in raw["value"]:
        assert value["source"] in known_sources(), value["name"]
        assert value["clause"], value["name"]
        assert value["read_as"] in READ_AS, value["name"]


def test_packaged_rule_sets_hold_no_invented_value():
    for data in packaged_rules().values():
        assert all(v["read_as"] != "invented" for v in tomllib.loads(data.decode())["value"])


def test_cautions_are_packaged():
    assert resources.files("truebed").joinpath("data/cautions.toml").is_file()
