"""The collector of cycles is paused in a block, and afterwards as it was before."""

import gc
import subprocess
import sys

import pytest

from methodpick.collector import collector_paused


@pytest.fixture(autouse=True)
def running():
    gc.enable()
    yield
    gc.enable()


def test_a_block_in_a_block_does_not_wake_the_collector():
    with collector_paused():
        with collector_paused():
            assert not gc.isenabled()
        assert not gc.isenabled()
    assert gc.isenabled()


def test_the_collector_runs_again_after_an_error():
    with pytest.raises(ValueError, match="damaged"), collector_paused():
        raise ValueError("damaged")
    assert gc.isenabled()


def test_a_collector_that_was_off_stays_off():
    gc.disable()
    with collector_paused():
        pass
    assert not gc.isenabled()


def test_a_decorated_function_is_paused_at_every_call():
    @collector_paused()
    def running_inside():
        return gc.isenabled()

    assert [running_inside(), running_inside()] == [False, False]
    assert gc.isenabled()


def test_what_is_left_uncollected_is_out_of_sight():
    """In a process of its own: what is frozen is counted object by object, and the tests hold a million."""
    code = (
        "import gc; from methodpick.collector import leave_uncollected; made = [[number] for number in range(100)];"
        " before = gc.get_freeze_count(); leave_uncollected(); assert gc.get_freeze_count() >= before + len(made)"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
