"""Sources in a CSV file: in the catalogue's folder, by `--sources`, or as a list written."""

from __future__ import annotations

from pathlib import Path

import pytest

from rigopt.api.needs import Needs as Asked
from rigopt.api.needs import settled
from rigopt.catalogue.types import Catalogue
from rigopt.cli import main as cli
from rigopt.errors import InputError
from rigopt.needs.read import read_needs
from rigopt.needs.types import Needs, Question, SourceLine
from tests.reading.folders import SMALL, catalogue, faults_of, needs, needs_faults, write

CSV = """\
Name;Kind;Phantom;Pair;Note
Overhead L;mic;on;Overheads;tall stand
Overhead R;;ON;Overheads;
Alto;;off;;
Tenor;;;;
Bass;instrument;;;
Keys;line;any;;
"""

LISTED = (
    SourceLine("Overhead L", "mic", "on", "Overheads", "tall stand"),
    SourceLine("Overhead R", "mic", "on", "Overheads"),
    SourceLine("Alto", "mic", "off"),
    SourceLine("Tenor"),
    SourceLine("Bass", "instrument"),
    SourceLine("Keys", "line"),
)

TOML = """
[[source]]
name = "Overhead L"
phantom = "on"
pair = "Overheads"
note = "tall stand"
[[source]]
name = "Overhead R"
phantom = "on"
pair = "Overheads"
[[source]]
name = "Alto"
phantom = "off"
[[source]]
name = "Tenor"
[[source]]
name = "Bass"
kind = "instrument"
[[source]]
name = "Keys"
kind = "line"
"""


def written(folder: Path, text: str) -> str:
    file = folder / "list.csv"
    file.write_text(text, "utf-8")
    return str(file)


def list_faults(folder: Path, text: str) -> list[str]:
    with pytest.raises(InputError) as raised:
        read_needs(None, SMALL, {"sources": written(folder, text)})
    return [str(fault).replace(f"{folder}/", "") for fault in raised.value.faults]


def with_list(folder: Path, text: str = CSV) -> Catalogue:
    return catalogue(folder, {"sources.csv": text})


def counted(asked: Needs) -> tuple[int, ...]:
    return asked.mic, asked.phantom, asked.no_phantom, asked.line, asked.instrument


def test_a_list_says_what_the_tables_of_a_needs_file_say(tmp_path: Path) -> None:
    found = read_needs(None, SMALL, {"sources": written(tmp_path, CSV)})
    assert found == needs(tmp_path, TOML)
    assert found.sources == LISTED
    assert counted(found) == (4, 2, 1, 1, 1)


def test_a_list_of_names_alone_is_one_of_microphones(tmp_path: Path) -> None:
    text = "name\n" + "".join(f"Voice {n}\n" for n in range(1, 21))
    found = read_needs(None, SMALL, {"sources": written(tmp_path, text)})
    assert counted(found) == (20, 0, 0, 0, 0)


def test_the_list_of_an_option_stands_for_what_the_file_says_of_inputs(tmp_path: Path) -> None:
    text = f'title = "Live"\nrate_khz = 96\n[inputs]\nmic = 30\nphantom = 9\n{TOML}'
    text = text.replace("mic = 30\nphantom = 9\n", "mic = 4\n")
    for said in ("rate_khz = 96\n[inputs]\nmic = 30\nphantom = 9\n", text):
        found = needs(tmp_path, said, sources=written(tmp_path, "name,kind\nSax,line\n"))
        assert counted(found) == (0, 0, 0, 1, 0)
        assert (found.sources, found.rate_hz) == ((SourceLine("Sax", "line"),), 96000)


def test_a_stage_may_have_a_list_of_its_own_but_no_other_counts(tmp_path: Path) -> None:
    file = written(tmp_path, CSV)
    stages = '[[stage]]\n[[stage]]\n[[stage.source]]\nname = "Solo"\n'
    first, second = needs(tmp_path, stages, sources=file).stages
    assert (counted(first.needs), counted(second.needs)) == ((4, 2, 1, 1, 1), (1, 0, 0, 0, 0))
    assert needs_faults(tmp_path, "[[stage]]\ninputs.mic = 9\n", sources=file) == [
        "needs.toml, stage[1].inputs.mic: is 4 in the list of sources; give this stage its own "
        "list, [[stage.source]] (found '9')"
    ]


def test_counts_do_not_go_with_a_list(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"--mic: the sources are listed, and the counts"):
        read_needs(None, SMALL, {"sources": written(tmp_path, CSV), "mic": "9"})


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        (
            "name,kind\nKick,drum\n",
            ["list.csv, row 2, kind: must be mic, line or instrument (found 'drum')"],
        ),
        (
            "name,fantom\nKick,on\n",
            [
                "list.csv, row 1, fantom: there is no such column; one of your own begins with "
                "# or note (found 'fantom'); did you mean 'phantom'?"
            ],
        ),
        (
            "name,phantom\nKick,yes\n",
            ["list.csv, row 2, phantom: must be on, off or any (found 'yes')"],
        ),
        ("kind\nmic\n", ["list.csv, name: this column is missing"]),
        (
            "name,pair\n\nKick,\nKick,Toms\n",
            [
                "list.csv, row 4, name: is the name of row 3 already (found 'Kick')",
                "list.csv, row 4, pair: a pair is two sources, but this one is alone "
                "(found 'Toms')",
            ],
        ),
        (
            "name,kind,phantom,pair\nKeys,line,on,P\nSax,mic,on,P\n",
            [
                "list.csv, row 2, phantom: is for microphones; leave it out for kind line "
                "(found 'on')",
                "list.csv, row 3, pair: a pair is two sources of one kind, not line and mic "
                "(found 'P')",
            ],
        ),
        ("name\n", ["list.csv: there is no source in it; each takes a row under the header"]),
        (
            "name\n" + "".join(f"Voice {n}\n" for n in range(1001)),
            ["list.csv: has 1001 sources; 1000 are the most"],
        ),
    ],
)
def test_faults_have_a_row_and_a_column(tmp_path: Path, text: str, faults: list[str]) -> None:
    assert list_faults(tmp_path, text) == faults


def test_a_list_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"none\.csv: there is no such file"):
        read_needs(None, SMALL, {"sources": str(tmp_path / "none.csv")})


def test_the_list_in_the_folder_is_of_the_catalogue(tmp_path: Path) -> None:
    shop = with_list(tmp_path)
    assert shop.sources == LISTED
    assert read_needs(None, shop, {}).sources == LISTED
    assert read_needs(Question("at 96k"), shop, {}).sources == LISTED
    assert settled(Asked(), shop).sources == LISTED
    assert needs_of(tmp_path, shop, "rate_khz = 96").sources == LISTED
    assert needs_of(tmp_path, shop, "[[stage]]\nrate_khz = 96").stages[0].needs.mic == 4


def needs_of(folder: Path, shop: Catalogue, text: str) -> Needs:
    (folder / "needs.toml").write_text(text, "utf-8")
    return read_needs(folder / "needs.toml", shop, {})


def test_a_question_with_inputs_of_its_own_leaves_that_list_alone(tmp_path: Path) -> None:
    shop = with_list(tmp_path)
    assert read_needs(None, shop, {"mic": "8"}).sources == ()
    assert counted(read_needs(None, shop, {"line": "8"})) == (0, 0, 0, 8, 0)
    assert needs_of(tmp_path, shop, "inputs.mic = 8").sources == ()
    assert needs_of(tmp_path, shop, "[[stage]]\ninputs.mic = 8").mic == 0
    assert needs_of(tmp_path, shop, '[[source]]\nname = "A"').sources == (SourceLine("A"),)
    file = written(tmp_path, "name\nB\n")
    assert read_needs(None, shop, {"sources": file}).sources == (SourceLine("B"),)


def test_a_list_in_the_folder_may_be_empty_but_not_wrong(tmp_path: Path) -> None:
    assert with_list(tmp_path, "name,kind\n").sources == ()
    assert faults_of(tmp_path, {"sources.csv": "name\nA\nA\n"}) == [
        "sources.csv, row 3, name: is the name of row 2 already (found 'A')"
    ]
    (tmp_path / "sources.csv").rename(tmp_path / "source.csv")
    assert "source.csv: a file of this name is not read; did you mean 'sources.csv'?" in (
        faults_of(tmp_path, {})
    )


def desk(folder: Path) -> str:
    """A catalogue of one box that takes all of the list."""
    box = "id,role,price,mic_line,line_inst,phantom_bank\nbox,host,100,8,4,2\n"
    (folder / "shop").mkdir()
    return str(write(folder / "shop", {"devices.csv": box}))


def test_a_list_that_was_written_is_read_back(tmp_path: Path) -> None:
    """Twice round: what is asked comes back, whatever the rig made of it."""
    risky = CSV.replace("Alto", "=1+1").replace("Tenor", "'quoted'")
    first, second = str(tmp_path / "a.csv"), str(tmp_path / "b.csv")
    args = ["plan", "--catalog", desk(tmp_path)]
    source = written(tmp_path, risky)
    assert cli.run([*args, "--sources", source, "--input-list", first]) == 0
    assert cli.run([*args, "--sources", first, "--input-list", second]) == 0
    asked = read_needs(None, SMALL, {"sources": source})
    back = read_needs(None, SMALL, {"sources": first})
    assert [line.name for line in back.sources][2:4] == ["=1+1", "'quoted'"]
    assert [(s.name, s.group, s.pair) for s in back.sources] == [
        (s.name, s.group, s.pair) for s in asked.sources
    ]
    assert read_needs(None, SMALL, {"sources": second}) == back


def test_a_list_of_counts_that_was_written_is_read_back(tmp_path: Path) -> None:
    target = str(tmp_path / "a.csv")
    asked = ["--mic", "3", "--phantom", "1", "--no-phantom", "1", "--line", "1"]
    assert cli.run(["plan", *asked, "--catalog", desk(tmp_path), "--input-list", target]) == 0
    found = read_needs(None, SMALL, {"sources": target})
    assert (found.mic, found.line) == (3, 1)
    assert found.phantom >= 1
    assert found.no_phantom >= 1
    assert {line.name for line in found.sources} == {"mic 1", "mic 2", "mic 3", "line 4"}


def test_a_list_of_an_older_version_keeps_microphones_off_48_v(tmp_path: Path) -> None:
    text = (
        "number,source,unit,channel,computer_input,kind,48_v,note\n"
        "1,Alto,host-1,1,1,mic,off,\n2,Snare,host-1,5,5,mic,on,\n3,Keys,host-1,6,6,line,on,\n"
        ",spare,host-1,2,2,mic or line,off,\n"
    )
    found = read_needs(None, SMALL, {"sources": written(tmp_path, text)}).sources
    assert found == (
        SourceLine("Alto", "mic", "off"),
        SourceLine("Snare", "mic", "on"),
        SourceLine("Keys", "line"),
    )


def test_no_output_overwrites_the_list(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = written(tmp_path, CSV)
    assert cli.run(["plan", "--sources", file, "--input-list", file]) == 2
    assert "--input-list would overwrite an input file" in capsys.readouterr().err
    assert Path(file).read_text("utf-8") == CSV


def test_plan_and_compare_are_content_with_the_list_of_the_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    with_list(tmp_path, "name,kind\nSax,line\n")
    for args in (["plan"], ["compare", "--rate", "48", "--rate", "44.1"]):
        # A box without inputs: the question is understood, and nothing can meet it.
        assert cli.run([*args, "--catalog", "."]) == 3
    assert "1 line source" in capsys.readouterr().out
    (tmp_path / "sources.csv").unlink()
    for args in (["plan"], ["compare", "--rate", "48", "--rate", "44.1"]):
        assert cli.run([*args, "--catalog", "."]) == 2
        assert "say what you need" in capsys.readouterr().err
