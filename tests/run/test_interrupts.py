"""Ctrl-C and its kin: the first request lets the work in hand finish, the second ends the run."""

import os
import signal

import pytest

from proofs.run.interrupts import ENDING, deaf_to_requests, interrupts

pytestmark = pytest.mark.skipif(os.name == "nt", reason="signals are others there")


@pytest.mark.parametrize("number", ENDING)
def test_a_request_is_noted_and_does_not_tear_the_run(number: int) -> None:
    with interrupts() as is_stopped:
        assert not is_stopped()
        signal.raise_signal(number)
        assert is_stopped()


def ask_twice() -> None:
    with interrupts():
        signal.raise_signal(signal.SIGINT)
        signal.raise_signal(signal.SIGTERM)


def test_a_second_request_ends_the_run_and_further_ones_are_ignored() -> None:
    before = {number: signal.getsignal(number) for number in ENDING}
    try:
        with pytest.raises(KeyboardInterrupt):
            ask_twice()
        assert {signal.getsignal(number) for number in ENDING} == {signal.SIG_IGN}
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def test_a_run_that_goes_on_leaves_the_handlers_as_they_were() -> None:
    before = [signal.getsignal(number) for number in ENDING]
    with interrupts():
        signal.raise_signal(signal.SIGHUP)
    assert [signal.getsignal(number) for number in ENDING] == before


def test_ctrl_c_is_held_back_only_while_a_process_starts() -> None:
    with deaf_to_requests():
        assert signal.SIGINT in signal.pthread_sigmask(signal.SIG_BLOCK, [])
    assert signal.SIGINT not in signal.pthread_sigmask(signal.SIG_BLOCK, [])
