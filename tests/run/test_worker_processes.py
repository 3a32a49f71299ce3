"""Workers are forked while that is safe, and have everything loaded."""

import subprocess
import sys
import threading
from pathlib import Path

import pytest

from proofs.outside.machine import is_safe_to_fork
from proofs.run.worker_processes import forked_workers

ROOT = Path(__file__).parents[2]
LOADED = """
import os, sys
os.environ["OPENBLAS_NUM_THREADS"] = "1"
import proofs.cli.make
from proofs.outside.pixels.vips import ready
ready()
"""
WORKING = """
import pyvips
from proofs.run.worker_processes import forked_workers

def mean(n):
    image = pyvips.Image.black(400, 400, bands=3).linear(1, n).cast("uchar").gaussblur(2)
    again = pyvips.Image.new_from_buffer(image.jpegsave_buffer(), "")
    return os.getpid(), round(again.resize(0.5).avg())
"""


def said(code: str) -> str:
    """What a new process prints that runs this code."""
    words = [sys.executable, "-W", "error", "-c", code]
    done = subprocess.run(words, capture_output=True, text=True, cwd=ROOT, check=True, timeout=120)
    return done.stdout.strip()


needs_linux = pytest.mark.skipif(sys.platform != "linux", reason="forks are safe only there")


@needs_linux
def test_a_program_that_has_loaded_everything_has_one_thread() -> None:
    code = "from proofs.outside.machine import is_safe_to_fork; print(is_safe_to_fork())"
    assert said(f"{LOADED}\n{code}") == "True"


@needs_linux
def test_a_program_whose_pixel_library_has_worked_is_not_forked() -> None:
    code = "print(mean(7)[1]); a = forked_workers(2)\nwith a as forked: print(forked)"
    assert said(f"{LOADED}\n{WORKING}\n{code}").split() == ["7", "None"]


@needs_linux
def test_the_pixel_library_works_in_forked_workers() -> None:
    code = """
with forked_workers(6) as forked:
    found = list(forked.pool.map(mean, range(40, 200)))
print([level for _, level in found] == list(range(40, 200)))
print(os.getpid() in {process for process, _ in found})
"""
    assert said(f"{LOADED}\n{WORKING}\n{code}").split() == ["True", "False"]


def test_a_process_with_another_thread_is_not_forked() -> None:
    end = threading.Event()
    other = threading.Thread(target=end.wait)
    other.start()
    try:
        assert not is_safe_to_fork()
        with forked_workers(2) as forked:
            assert forked is None
    finally:
        end.set()
        other.join()


@needs_linux
def test_a_forked_worker_that_died_while_it_waited_is_replaced() -> None:
    code = """
import signal, multiprocessing, time
from tests.run.test_workers import Sum, double
from proofs.run.workers import Workers
with forked_workers(2) as forked:
    os.kill(multiprocessing.active_children()[0].pid, signal.SIGKILL)
    time.sleep(0.5)
    workers = Workers(2, forked=forked)
    found = workers.ordered_results(double, [Sum(n) for n in (1, 2, 3)])
    print([result for _, result in found])
"""
    assert said(f"{LOADED}\n{WORKING}\n{code}") == "[2, 4, 6]"


@needs_linux
@pytest.mark.parametrize("ending", ["pass", "raise OSError", "raise SystemExit(3)"])
def test_temporary_folders_of_forked_workers_go_with_them(ending: str) -> None:
    code = f"""
from proofs.outside.pixels.vips import fallback_cmyk_profile, profile_file
def name(n):
    return profile_file(b"profile %d" % n)
try:
    with forked_workers(2) as forked:
        found = list(forked.pool.map(name, range(8)))
        print(all(map(os.path.exists, found)))
        {ending}
except (OSError, SystemExit):
    print("ended")
print(any(map(os.path.exists, found)))
"""
    words = said(f"{LOADED}\n{WORKING}\n{code}").split()
    assert words == (["True", "False"] if ending == "pass" else ["True", "ended", "False"])
