"""Logs in a folder of tables: the borings of the log, the shafts of a schedule as it stands on a drawing. The log is invented."""

from pathlib import Path
from shutil import copy

import pytest

from methodpick.errors import InputError
from methodpick.imports.input_formats import read_file
from methodpick.imports.tables import read_tables

LOG = Path(__file__).parent.parent / "corpus" / "harrow-quay.ags"
SCHEDULE = "PIER\tBORING\tDIA. (mm)\tT/SHAFT EL. (m)\tB/SHAFT EL. (m)\tNO. REQ\n1\tB-10\t1200\t3.0\t-12.5\t2\n2\tB-2\t900\t3.0\t-9.0\t1\n"


@pytest.fixture
def job(tmp_path):
    copy(LOG, tmp_path)
    (tmp_path / "shafts.tsv").write_text(SCHEDULE, encoding="utf-8")
    return tmp_path


def test_the_borings_are_those_of_the_log_and_the_shafts_those_of_the_schedule(job):
    read, log = read_file(job), read_file(LOG)
    assert read.profiles == log.profiles
    assert [(shaft.id, shaft.boring, shaft.diameter_m, shaft.count) for shaft in read.site.shafts] == [
        ("1", "B-10", 1.2, 2),
        ("2", "B-2", 0.9, 1),
    ]
    levels = {boring.id: boring.ground_elevation_m for boring in log.profiles}
    assert [round(levels[shaft.boring] - shaft.tip_m, 3) for shaft in read.site.shafts] == [-12.5, -9.0]
    assert read.units == "si"


def test_doubts_and_counts_of_the_log_are_told(job):
    read, log = read_file(job), read_file(LOG)
    assert set(log.doubts) <= set(read.doubts)
    assert set(log.counts) <= set(read.counts)
    assert read.digest != log.digest


def test_a_boring_of_a_log_is_not_written_on_by_a_table(job):
    (job / "layers.csv").write_text("boring,top (m),base (m),description\nB-10,0,4,soft clay\n", encoding="utf-8")
    with pytest.raises(InputError, match="'B-10' is read from its log"):
        read_file(job)


def test_a_boring_in_two_logs_is_refused(job):
    copy(LOG, job / "again.ags")
    with pytest.raises(InputError, match="stands in again"):
        read_file(job)


def test_a_schedule_alone_says_where_borings_come_from():
    with pytest.raises(InputError) as refused:
        read_tables(SCHEDULE, "schedule.tsv")
    text = refused.value.render()
    assert "no boring is in the tables" in text
    assert "the logs (AGS, DIGGS) in the same folder" in text


def test_what_lacks_is_asked_once_a_column():
    text = "PIER\tDIA\tTOP EL\tTIP EL\n" + "".join(f"{number}\t4'-0\"\t412.5\t350\n" for number in range(1, 40))
    with pytest.raises(InputError) as refused:
        read_tables(text, "schedule.tsv")
    assert refused.value.render().count("has no unit") == 2


def test_a_table_that_lacks_a_column_says_which_and_what_was_not_understood():
    with pytest.raises(InputError) as refused:
        read_tables("PIER\tDIA. (in)\tDEEP\n1\t54\t60\n", "schedule.tsv")
    text = refused.value.render()
    assert "no column is tip or tip_elevation" in text
    assert "not understood: 'DEEP'" in text


@pytest.mark.parametrize("heading", ["T.O.S. EL.", "Top of Drilled Shaft Elev.", "T/Pier El.", "TOP EL", "Top of Shaft"])
def test_the_top_of_a_shaft_has_many_names(heading):
    text = f"PIER\tDIA (in)\t{heading} (ft)\tTIP EL (ft)\tGROUND EL (ft)\n1\t48\t410\t350\t412\n"
    with pytest.raises(InputError) as refused:
        read_tables(text, "schedule.tsv")
    assert "no boring is in the tables" in refused.value.render()
    assert "cutoff" not in refused.value.render()
