"""Errors come back whole from another process, such as one of a pool."""

from __future__ import annotations

import pickle

import pytest

from rigopt.api.ask import LateAlternativeError, NoAlternativeError
from rigopt.api.audited import AuditFailedError
from rigopt.errors import Fault, InputError, RigoptError
from rigopt.needs.types import Needs
from rigopt.optimiser.problem.supplies import NoRateError
from rigopt.optimiser.solver.linear import TooLargeError
from rigopt.output.files import CannotWriteError
from rigopt.rig.audit.finding import finding

ERRORS = (
    InputError(faults=(Fault(file="devices.csv", row=2, problem="a price is missing"),)),
    NoRateError(seller="shop-1", code="EUR", currency="GBP"),
    TooLargeError(needs=Needs(mic=64, max_hosts=12)),
    CannotWriteError(target="rig.json", why="the disk is full"),
    NoAlternativeError(number=3, found=1),
    LateAlternativeError(number=3, found=0),
    AuditFailedError(findings=(finding("no-host"),)),
)


@pytest.mark.parametrize("error", ERRORS, ids=lambda error: type(error).__name__)
def test_an_error_is_the_same_in_another_process(error: RigoptError) -> None:
    back = pickle.loads(pickle.dumps(error))
    assert type(back) is type(error)
    assert str(back) == str(error)
    assert vars(back) == vars(error)
