from __future__ import annotations

from pathlib import Path

import pytest

import rigopt
from rigopt.api.results import Result
from tests.api.api_world import FILES, QUESTIONS, Question, small


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> rigopt.Catalogue:
    """The small catalogue, in a folder with the files of the questions."""
    write(tmp_path)
    monkeypatch.chdir(tmp_path)
    return small()


@pytest.fixture(scope="session", params=QUESTIONS, ids=lambda question: question.name)
def asked(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> tuple[Question, Result]:
    """Each question with its end, asked once for all tests."""
    folder = tmp_path_factory.mktemp("asked")
    write(folder)
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)
        return request.param, request.param.ask(small())


def write(folder: Path) -> None:
    for name, text in FILES.items():
        (folder / name).write_text(text, "utf-8")
