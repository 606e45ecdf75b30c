"""Quantities enter as a number in their own unit or as text with one; what was entered is kept beside its meaning."""

from __future__ import annotations

from typing import Any

import pytest

from staveward.api.quantities import (
    QuantityUnitWrong,
    QuantityUnreadable,
    abv_pct_from_text,
    number_from_text,
)
from staveward.models import Act, Decant, Hold, Reading
from tests.api.cast import Cast


@pytest.mark.parametrize(
    ("text", "unit", "expected"),
    [
        # NIST Handbook 44 (2024), appendix C: the United States fluid ounce is 29.573 529 562 5 mL, the gallon
        # 3.785 411 784 L, the avoirdupois pound 0.453 592 37 kg, the inch 25.4 mm, all exact.
        ("25 fl oz", "mL", 739.3382390625),
        ("1 gal", "L", 3.785411784),
        ("1 us gal", "L", 3.785411784),
        ("10 lb", "kg", 4.5359237),
        ("2.5 in", "mm", 63.5),
        # Units of Measurement Regulations 1995 (United Kingdom), schedule: the gallon is 4.546 09 L, exact.
        ("1 imp gal", "L", 4.54609),
        ("160 imp fl oz", "L", 4.54609),
        # The scales' definitions: 68 degF is 20 degC, -40 is the same on both.
        ("68 degF", "degC", 20.0),
        ("-40 °F", "degC", -40.0),
        ("12.5 degC", "degC", 12.5),
        ("65 %", "", 0.65),
        ("700 ml", "L", 0.7),
        ("70 cl", "L", 0.7),
        ("150 mg/L", "g/L", 0.15),
        (" 5  L ", "L", 5.0),
        (".5 L", "L", 0.5),
    ],
)
def test_text_is_read_in_its_unit(text: str, unit: str, expected: float) -> None:
    assert number_from_text(text, unit) == pytest.approx(expected, rel=1e-11)


@pytest.mark.parametrize(
    ("text", "expected", "within"),
    [
        ("40 %", 40.0, 0.0),
        ("43.5 % vol", 43.5, 0.0),
        ("40% ABV", 40.0, 0.0),
        # 27 CFR 5.1: proof is twice the per cent by volume at 60 degF. With the densities of OIML R 22 (1975) that
        # is 50.06 and 40.07 % vol at 20 °C, not 50 and 40; calculated.
        ("100 proof", 50.06, 0.005),
        ("80 US proof", 40.07, 0.005),
        ("0 proof", 0.0, 1e-9),
    ],
)
def test_strength_is_read_as_label_or_proof(text: str, expected: float, within: float) -> None:
    assert abv_pct_from_text(text) == pytest.approx(expected, abs=within)


@pytest.mark.parametrize("text", ["", "5", "L", "5,5 L", "1e3 L", "5 5 L L", "5 L\x00" * 20, "٣ L"])
def test_text_that_is_not_one_number_and_one_unit_is_refused(text: str) -> None:
    with pytest.raises((QuantityUnreadable, QuantityUnitWrong)):
        number_from_text(text, "L")


@pytest.mark.parametrize("text", ["5 kg", "5 L**3", "5 L*L", "5 (L)", "5 mL/mL", "5 degC", "5 __class__"])
def test_a_unit_that_measures_something_else_is_refused(text: str) -> None:
    with pytest.raises(QuantityUnitWrong):
        number_from_text(text, "L")


@pytest.mark.django_db
class TestAtTheEdge:
    def sent(self, cast: Cast, collection: str, body: dict[str, Any]) -> Act:
        return Act.objects.get(pk=cast.done(collection, body))

    def test_fluid_ounces_become_litres_and_stay_readable(self, cast: Cast) -> None:
        act = self.sent(cast, "holds", cast.at_barrel(water_l="85 fl oz"))

        assert act.body["water_l"] == "85 fl oz"
        assert Hold.objects.get(act=act).water_l == pytest.approx(2.5137500, abs=1e-6)

    def test_proof_becomes_per_cent_by_volume(self, cast: Cast) -> None:
        cast.fill()
        act = self.sent(cast, "decants", cast.at_barrel(measured_volume_l=4, abv_pct="100 proof"))

        assert act.body["abv_pct"] == "100 proof"
        assert Decant.objects.get(act=act).abv_pct == pytest.approx(50.06, abs=0.005)

    def test_degrees_fahrenheit_and_per_cent_of_humidity(self, cast: Cast) -> None:
        body = cast.entry(kind="climate", place=str(cast.place.pk), temp_c="50 degF", rh="72 %")
        reading = Reading.objects.get(pk=self.sent(cast, "readings", body).pk)

        assert (reading.temp_c, reading.rh) == (pytest.approx(10.0), pytest.approx(0.72))
