"""Cut-out, heat setting and tripping device pass through a bench sheet; sheets without these columns are still read."""

from pathlib import Path

import pytest

from hazardreport.case.case import Case
from hazardreport.case.picture import Point, PointRole
from hazardreport.case.reading import CutOut, TrippingDevice, Waveform
from hazardreport.errors import BenchSheetRefusedError
from hazardreport.storage.bench_sheet import bench_sheet, read_bench_sheet
from hazardreport.storage.bench_sheet import bench_sheet_of as sheet_of

HEADER = "first,second,quantity,value,plug,switch"
ROW = "A,E,voltage,60 V,straight,on"


def case() -> Case:
    points = (Point(letter="A", role=PointRole.TOUCHABLE_PART), Point(letter="E", role=PointRole.EARTH))
    return Case(id="case-001", points=points)


def written(folder: Path, text: str) -> Path:
    path = folder / "sheet.csv"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize("cut_out", CutOut)
@pytest.mark.parametrize("waveform", Waveform)
@pytest.mark.parametrize("device", TrippingDevice)
def test_each_choice_comes_back(tmp_path: Path, cut_out: CutOut, waveform: Waveform, device: TrippingDevice) -> None:
    text = f'{HEADER},cut_out,waveform,device\n{ROW},{cut_out.value},{waveform.value},"{device.value}"\n'
    first = read_bench_sheet(case(), written(tmp_path, text))
    (one,) = first.readings
    assert (one.state.cut_out, one.state.waveform, one.device) == (cut_out, waveform, device)
    assert sheet_of(case(), written(tmp_path, bench_sheet(first))).readings == first.readings


def test_an_old_sheet_is_still_read(tmp_path: Path) -> None:
    (one,) = sheet_of(case(), written(tmp_path, f"{HEADER}\n{ROW}\n")).readings
    assert (one.state.cut_out, one.state.waveform, one.device) == (
        CutOut.CLOSED,
        Waveform.FULL,
        TrippingDevice.NOT_NOTED,
    )


@pytest.mark.parametrize("column", ["cut_out", "waveform", "device"])
def test_an_unknown_choice_is_refused_with_its_column(tmp_path: Path, column: str) -> None:
    with pytest.raises(BenchSheetRefusedError, match=column):
        read_bench_sheet(case(), written(tmp_path, f"{HEADER},{column}\n{ROW},perhaps\n"))


@pytest.mark.parametrize("quantity", ["voltage", "current", "lamp brightness"])
def test_a_device_that_tripped_is_a_value(tmp_path: Path, quantity: str) -> None:
    text = f"{HEADER},device\nA,E,{quantity},Tripped,straight,on,GFCI class A\n"
    (one,) = sheet_of(case(), written(tmp_path, text)).readings
    assert (one.typed, one.device) == ("Tripped", TrippingDevice.GFCI_A)


def test_no_resistance_trips(tmp_path: Path) -> None:
    with pytest.raises(BenchSheetRefusedError):
        sheet_of(case(), written(tmp_path, f"{HEADER}\nA,E,resistance,tripped,unplugged,on\n"))
