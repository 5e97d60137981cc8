"""Text of a starter van file from answers."""

import json
import re
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from math import ceil, floor
from typing import Any

from jinja2 import Environment, StrictUndefined, Template

from vandoc.ground.calc.battery import full_voltage_v, internal_resistance_ohm, rest_voltage_at
from vandoc.ground.calc.conductor import awg_areas_mm2, size_name
from vandoc.ground.calc.ventilation import airflow_m3_per_h, gas_current_ma_per_ah, vent_area_cm2
from vandoc.ground.chemistry import chemistry_of
from vandoc.ground.data import constant
from vandoc.ground.measures import METRIC, measured, measures
from vandoc.ground.messages import Messages
from vandoc.reading.formats import newest
from vandoc.reading.schema import json_schema
from vandoc.reading.starter.questions import Answers, starting_of

# Starting values for equipment without a question; the file says that each must be replaced.
PREFERRED_KA = (20, 50, 100)  # direct current; UL 248-2:2019 5.5
ALTERNATOR_A = 150
PANEL_W = 200  # maximum rated power of one panel
SWITCHES_A = (300, 400, 500, 600)  # usual ratings of battery switches
OTHERS_A = 50.0  # what flows besides the inverter [A]
FUSE_SHARE = 0.8
BOARD_A = 200.0  # largest inverter on a position of the main fuse board [A]
GAUGE_SHARE = 0.05  # what a gauge may be below a metric size that is not for a load
VOC_V, VMP_V, ISC_FACTOR = 22.5, 18.6, 1.07
# A value after its key, never within a text in quotes that has no such key.
_VALUE = re.compile(r"(?<=: )(\d+(?:\.\d+)?) (m|mm|mm²|cm²|°C|N·m)(?=[,}\s])")


@dataclass(frozen=True)
class Sizes:
    """Values derived from the answers for chargers, panels and vents.

    Attributes
    ----------
    driving_a, solar_a, mains_a : float
        Outputs that in total suit the battery and that the alternator has available. [A]
    panels : int
        Number in series.
    panel_w, isc_a : float
        Of one panel.
    absorption_v, float_v : float
        At the leisure battery. [V]
    rest_v : float
        Of the leisure battery in the example of a reading. [V]
    vent_cm2 : int
        Free area of the vents of the battery box, if the battery gives off gas. [cm²]
    breaking_ka : int or None
        Breaking capacity of the main fuse, where that of its family is too low for the battery. [kA]
    rated_v : int
        Rated voltage of contacts. [V]
    switch_a : int
        Rated current of the main battery switch and of busbars. [A]
    inverter_alone : bool
        Whether the inverter has a fuse and a busbar of its own instead of a position on the main fuse board.
    """

    driving_a: float
    solar_a: float
    mains_a: float
    panels: int
    panel_w: float
    isc_a: float
    absorption_v: float
    float_v: float
    rest_v: float
    vent_cm2: int
    breaking_ka: int | None
    rated_v: int
    switch_a: int
    inverter_alone: bool


def sizes(answers: Answers) -> Sizes:
    """Calculate the starting values.

    Raises
    ------
    ValueError
        If the chemistry has none.
    """
    volts, chemistry = answers.nominal_v, chemistry_of(answers.chemistry)
    starting, cells = starting_of(chemistry, volts), chemistry.cells_for(volts)
    gas_ma = gas_current_ma_per_ah(answers.chemistry, "boost")
    if starting is None or cells is None or gas_ma is None:
        raise ValueError(f"there are no starting values for {answers.chemistry!r}")
    charge, absorption, floating = starting
    bank_ah = answers.capacity_ah * answers.batteries
    total_a = charge.low * bank_ah
    share_a = total_a / (1 + bool(answers.solar_w) + answers.mains_charger)
    spare_a = 0.5 * ALTERNATOR_A * 0.9 * 12 / volts
    panels = max(volts // 12, ceil(answers.solar_w / PANEL_W))
    panel_w = round(answers.solar_w / panels, 1)
    inverter_a = answers.inverter_w / constant("inverter efficiency").value / volts
    return Sizes(
        driving_a=_down(min(share_a, spare_a, 40)),
        solar_a=_down(min(share_a, max(5.0, 1.2 * answers.solar_w / volts))),
        mains_a=_down(min(share_a, 40)),
        panels=panels,
        panel_w=panel_w,
        isc_a=round(panel_w / VMP_V * ISC_FACTOR, 2),
        absorption_v=absorption.low,
        float_v=floating.low,
        rest_v=round(rest_voltage_at(answers.chemistry, 90, volts), 2),
        breaking_ka=_breaking_ka(answers),
        rated_v=80 if volts == 48 else 48,
        switch_a=next(amps for amps in SWITCHES_A if amps >= (inverter_a + OTHERS_A) / FUSE_SHARE),
        inverter_alone=inverter_a > BOARD_A,
        vent_cm2=10 * ceil(vent_area_cm2(airflow_m3_per_h(cells[1], gas_ma, bank_ah)) / 8),
    )


def _breaking_ka(answers: Answers) -> int | None:
    """Return the preferred breaking capacity above the short-circuit current of the battery. [kA]"""
    volts, chemistry = answers.nominal_v, answers.chemistry
    ohm = internal_resistance_ohm(chemistry, answers.capacity_ah * answers.batteries, volts, end="low")
    amps = full_voltage_v(chemistry, volts) / ohm
    wanted = next(ka for ka in PREFERRED_KA if 1000 * ka >= amps)
    return None if wanted == PREFERRED_KA[0] else wanted


def _down(amps: float) -> float:
    """Round down to whole amperes; small currents to half amperes."""
    return floor(amps) if amps >= 5 else floor(2 * amps) / 2


def render(answers: Answers, token: str, *, contact_above: bool = False) -> dict[str, str]:
    """Return the files of a starter van, as :func:`van_text`, with the schema for completion in an editor.

    Returns
    -------
    dict
        Relative path to text.
    """
    schema = json.dumps(json_schema(), ensure_ascii=False, indent=1)
    text = van_text(answers, token, contact_above=contact_above)
    return {"van.yml": text, "van.schema.json": f"{schema}\n"}


def van_text(answers: Answers, token: str, *, contact_above: bool = False) -> str:
    """Return the van file of a starter van.

    Parameters
    ----------
    answers : Answers
    token : str
        Part of the published address that cannot be guessed; letters, digits and hyphens.
    contact_above : bool
        Whether a workshop file states the contact, so that the van file leaves it out.

    Raises
    ------
    ValueError
        If the token is not made of letters, digits and hyphens.
    """
    if not re.fullmatch(r"[A-Za-z0-9-]{1,64}", token):
        raise ValueError(f"token must be letters, digits and hyphens, got {token!r}")
    chemistry = chemistry_of(answers.chemistry)
    text = _template().render(
        a=answers,
        c=chemistry,
        format=newest(),
        s=sizes(answers),
        suffix=lambda number: "" if number == 1 else f"-{number}",
        token=token,
        contact_above=contact_above,
        alternator_a=ALTERNATOR_A,
        voc_v=VOC_V,
        vmp_v=VMP_V,
        battery_place="battery-box" if chemistry.vented else "seat-box",
    )
    return text if measures() == METRIC else _VALUE.sub(_in_house, text)


def _in_house(match: re.Match[str]) -> str:
    """Return a value of the starter van in the units of the workshop; a cable has the next larger gauge."""
    number, unit = float(match[1]), match[2]
    if unit == "mm²":
        return next(size_name(area) for area in awg_areas_mm2() if area >= number * (1 - GAUGE_SHARE))
    value, other = measured(number, unit)
    return f"{round(value, 2):g} {other}"


@cache
def _template() -> Template:
    environment = Environment(
        autoescape=False,  # a YAML file: text goes through `quoted`
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        finalize=_finalize,
    )
    environment.filters |= {"quoted": _quoted, "scalar": _scalar, "commented": _commented}
    environment.globals["say"] = Messages("vandoc.reading.starter", "van").say
    source = files(__package__).joinpath("templates", "van.yml.j2").read_text("utf-8")
    return environment.from_string(source)


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


def _scalar(text: str) -> str:
    """Return text as a value in a flow of YAML: as it is if nothing in it has a meaning there."""
    return text if re.fullmatch(r"[\w ][\w './-]*", text) else _quoted(text)


def _commented(text: str, indent: int = 0) -> str:
    """Return text as comment lines; the first is placed by the template."""
    return f"\n{' ' * indent}".join(f"# {line}" for line in text.splitlines())


def _finalize(value: Any) -> Any:
    """Format numbers without needless decimals."""
    return f"{value:g}" if isinstance(value, float) else value
