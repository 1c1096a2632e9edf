"""What owners say, in their own words, and the complaint that it is (invented sayings)."""

from __future__ import annotations

import pytest

from diag.cli.book import load_book
from diag.session.hearing import Ear


@pytest.fixture(scope="module")
def ear(tmp_path_factory: pytest.TempPathFactory) -> Ear:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("DIAG_HOME", str(tmp_path_factory.mktemp("home")))
        return Ear(load_book())


@pytest.mark.parametrize(
    ("said", "complaint"),
    [
        ("It's dead, not a light on it", "will not start"),
        ("won't fire up any more", "will not start"),
        ("it just blows cold air", "fan only"),
        ("starts, then goes out after a minute, with white smoke", "lights then dies"),
        ("it doesn't stay lit", "lights then dies"),
        ("only lights at the third try", "many attempts"),
        ("takes several goes before it catches", "many attempts"),
        ("clouds of white smoke", "white smoke"),
        ("black smoke and soot on the side of the van", "dark smoke"),
        ("barely warm, whatever I set", "weak heat"),
        ("it gets far too hot in here", "too hot"),
        ("on and off the whole night", "cycles"),
        ("a terrible squeal when it runs down", "noise"),
        ("it stinks of diesel", "smell"),
        ("we get fumes in the cab", "smell"),
        ("it's thirsty, the tank is empty in two days", "drinks fuel"),
        ("the battery is flat in the morning", "flattens the battery"),
        ("the fan won't stop", "will not shut down"),
        ("someone pulled the switch while it was running", "will not shut down"),
        ("there's an error on the panel", "shows a fault"),
        ("the light blinks seven times", "shows a fault"),
        ("I just bought it second hand", "check it over"),
        ("a puddle of diesel under it when it is off", "fuel smell when off"),
        ("the CO alarm went off last night", "alarm sounded"),
        ("it lights with a bang", "bangs as it lights"),
        ("it came on by itself at night", "starts by itself"),
        ("works only on shore power", "needs the engine"),
        ("it fails now and then", "only sometimes"),
        ("the screen is garbled", "panel blank"),
        ("it keeps blowing fuses", "keeps blowing its fuse"),
        ("the radio crackles while it runs", "radio noise"),
        ("water drips from the exhaust", "water drips"),
    ],
)
def test_an_owner_is_understood(ear: Ear, said: str, complaint: str) -> None:
    """Plain words of an owner tell of the complaint that they mean, whatever else they say."""
    hearing = ear.hear(said)
    asked = [one.complaint for among in hearing.choices for one in among]
    assert complaint in [*(one.complaint for one in hearing.facts), *asked]
