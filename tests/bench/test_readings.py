"""Readings of a meter's table: what a column holds is stated; nothing is guessed or half done."""

import pytest
from click.testing import CliRunner

from tests.vans.small import put_into
from vandoc.doors.build import read
from vandoc.doors.cli import main


def run(*args):
    return CliRunner().invoke(main, [str(arg) for arg in args])


@pytest.fixture
def van_file(tmp_path):
    return put_into(tmp_path)


def table(van_file, text, name="meter.csv", encoding="utf-8"):
    path = van_file.with_name(name)
    path.write_bytes(text.encode(encoding))
    return path


def measures(van_file, kind):
    return [ident for ident in read(van_file).measurements if ident.startswith(f"{kind}.")]


def taken(van_file):
    return {ident: [one.value for one in found] for ident, found in read(van_file).taken.items()}


COLUMNS = ("--column", "measure=Point", "--column", "value=Reading [mV]", "--column", "current=I [A]")


def test_columns_are_named_and_units_are_in_the_heading(van_file):
    (drop, *_) = measures(van_file, "drop")
    file = table(van_file, f"No;Point;Reading [mV];I [A]\r\n1;{drop};1,2345E+2;2,5\r\n")
    args = ("record", van_file, "--readings", file, "--separator", ";", "--decimal-comma", *COLUMNS)
    result = run(*args)
    assert result.exit_code == 0, result.output
    (found,) = read(van_file).taken[drop]
    assert (found.value, found.current_a) == (pytest.approx(0.12345), 2.5)
    before = van_file.read_bytes()
    again = run(*args)
    assert "the file has it already" in again.output
    assert van_file.read_bytes() == before


def test_a_comma_is_never_guessed(van_file):
    (drop, *_) = measures(van_file, "drop")
    file = table(van_file, f"Point;Reading [mV];I [A]\n{drop};1,234;2\n")
    before = van_file.read_bytes()
    result = run("record", van_file, "--readings", file, "--separator", ";", *COLUMNS)
    assert result.exit_code == 2
    assert "meter.csv:2:2: '1,234' has a comma" in result.output
    assert van_file.read_bytes() == before


def test_every_error_is_told_by_row_and_column_and_nothing_is_written(van_file):
    rest, drop = measures(van_file, "rest-voltage")[0], measures(van_file, "drop")[0]
    file = table(
        van_file,
        f"measure,value,current\n{rest},12.7\nrest-voltage.hose,12.7 V\n{drop},-1 V,2 A\n{drop},1 V,x\n,1 V\n"
        f"{rest},3 A\n",
    )
    before = van_file.read_bytes()
    result = run("record", van_file, "--readings", file)
    assert result.exit_code == 2
    for place in (":2:2: '12.7' has no unit", ":5:1:", ":6:1: 'measure' is missing", ":7:1:"):
        assert f"meter.csv{place}" in result.output
    assert van_file.read_bytes() == before
    other = table(van_file, f"measure,value,current\nrest-voltage.hose,12.7 V\n{drop},-1 V,x\n{rest},3 A\n")
    result = run("record", van_file, "--readings", other)
    assert result.exit_code == 2
    for place in (":2:1: 'rest-voltage.hose' is not on the sheet", ":3:2: value", ":3:3: current", ":4:2:"):
        assert f"meter.csv{place}" in result.output
    assert "did you mean" in result.output
    assert van_file.read_bytes() == before


@pytest.mark.parametrize("column", ["value", "volts=Reading", "value="])
def test_an_option_that_names_no_column_is_refused(column, van_file):
    result = run("record", van_file, "--readings", table(van_file, "measure,value\n"), "--column", column)
    assert result.exit_code == 2
    assert "names no field and heading" in result.output


def test_a_column_that_is_not_there_is_told_with_the_nearest(van_file):
    file = table(van_file, "measure,Readings\n")
    result = run("record", van_file, "--readings", file, "--column", "value=Reading")
    assert "no column 'Reading' for 'value'" in result.output
    assert "did you mean 'Readings'" in result.output


def test_a_table_that_is_no_text_is_refused(van_file):
    file = table(van_file, "measure,value\nä,1 V\n", encoding="latin-1")
    assert "not UTF-8" in run("record", van_file, "--readings", file).output
    assert not taken(van_file)


def test_a_note_with_a_formula_is_text_like_any_other(van_file):
    (rest, *_) = measures(van_file, "rest-voltage")
    file = table(van_file, f'measure,value,note\n{rest},12.7 V,"=HYPERLINK(""x"")"\n')
    assert run("record", van_file, "--readings", file).exit_code == 0
    assert read(van_file).system.commissioning[0].readings[0].note == '=HYPERLINK("x")'
