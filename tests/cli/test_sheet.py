"""`toebox sheet`: where the sheet goes, and what it is made from."""

import io

import pypdf
import pytest

from tests.cli.jobs import EMPTY, FAULTY, GOOD
from tests.cli.running import run, run_process
from toebox.errors import ExitCode


@pytest.fixture
def here(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "car.toml").write_text(GOOD, "utf-8")
    return tmp_path


def first_page(data):
    return pypdf.PdfReader(io.BytesIO(data)).pages[0]


def test_without_a_job_a_blank_sheet_goes_beside_whoever_asks(here):
    done = run("sheet")
    assert done.exit_code == ExitCode.DONE
    assert done.stdout == ""
    assert "the sheet is in sheet.pdf" in done.stderr
    assert "Sheet for the readings" in first_page((here / "sheet.pdf").read_bytes()).extract_text()


def test_with_a_job_the_sheet_goes_beside_it(here):
    assert run("sheet", "car.toml").exit_code == ExitCode.DONE
    said = first_page((here / "car-sheet.pdf").read_bytes()).extract_text()
    assert "Test car" in said
    assert "What to do next" in said
    assert (here / "car.toml").read_text("utf-8") == GOOD


@pytest.mark.parametrize(("paper", "size"), [("a4", (595, 842)), ("Letter", (612, 792))])
def test_the_paper_is_the_one_asked_for(here, paper, size):
    assert run("sheet", "--paper", paper, "-o", "out.pdf").exit_code == ExitCode.DONE
    box = first_page((here / "out.pdf").read_bytes()).mediabox
    assert (round(box.width), round(box.height)) == size


def test_from_standard_input_to_standard_output():
    done = run_process("sheet", "-", "-o", "-", stdin=None, input=GOOD.encode())
    assert done.returncode == ExitCode.DONE
    assert done.stderr == b""
    assert "Test car" in first_page(done.stdout).extract_text()


def test_a_job_without_results_has_a_sheet_all_the_same(here):
    (here / "car.toml").write_text(EMPTY, "utf-8")
    assert run("sheet", "car.toml").exit_code == ExitCode.DONE
    said = first_page((here / "car-sheet.pdf").read_bytes()).extract_text()
    assert "Before measuring" in said
    assert "What to do next" not in said


def test_a_faulty_job_makes_no_sheet(here):
    (here / "car.toml").write_text(FAULTY, "utf-8")
    done = run("sheet", "car.toml")
    assert done.exit_code == ExitCode.FAULTY_INPUT
    assert "titel" in done.stderr
    assert not (here / "car-sheet.pdf").exists()


def test_the_job_itself_is_never_replaced(here):
    done = run("sheet", "car.toml", "-o", "car.toml")
    assert done.exit_code == ExitCode.USAGE
    assert "would replace the job file" in done.stderr
    assert (here / "car.toml").read_text("utf-8") == GOOD


def test_where_nothing_can_be_written(here):
    done = run("sheet", "-o", "nowhere/sheet.pdf")
    assert done.exit_code == ExitCode.CANNOT_WRITE
    assert "there is no such folder" in done.stderr
