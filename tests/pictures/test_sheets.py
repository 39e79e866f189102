"""Printed sheets, read back: the text by one library, the page as an image by another, the codes by a decoder of its own."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, time
from io import BytesIO

import pypdfium2
import pytest
import zxingcpp
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from bot.pictures import labels, packing, parcels, sheet
from core.fishroom.state import Fishroom, Place

TANK = labels.PlaceLabel("Tank 2", "tank", "https://t.me/GravelLaneBot?start=at_7Qm3xZ", 240)
BOX = labels.PlaceLabel("Box 1", "box", "https://t.me/GravelLaneBot?start=at_7Qm3xY", 6, "Tank 2")
TUB = labels.PlaceLabel("Black tub", "tub", "https://fish.example.org:8443/at/3fa85f64-5717-4562-b3fc-2c963f66afa6", 500)
POND = labels.PlaceLabel("Пруд у сарая", "pond", "https://t.me/GravelLaneBot?start=at_pond", 3000)
ROOM = (TANK, BOX, TUB, POND)

LABS = parcels.Parcel(
    14, "C", "Yellow lab", "Labidochromis caeruleus", males=1, females=4, bags=2, bag_litres=1.5, sire="M1 “Sol”", dam="F4",
    kinship=0.125, hatched=date(2026, 1, 9), hatched_about=True, food="small pellets, spirulina flake", temp_c=25, ph=8.1,
)  # fmt: skip
SAULOSI = parcels.Parcel(15, "D", "Saulosi Taiwan Reef", unsexed=6)
PICKUP = parcels.Pickup("Gravel Lane Circle", "Marit", "Zoë <Ångström>", date(2026, 4, 18), time(16, 30), (LABS, SAULOSI))


def text_of(pdf: bytes) -> str:
    """All text of a PDF on one line."""
    return " ".join(" ".join(page.extract_text() for page in PdfReader(BytesIO(pdf)).pages).split())


def codes_of(pdf: bytes) -> set[str]:
    """What a scanner reads off the printed pages (150 dots per inch: a poor printer)."""
    pages = pypdfium2.PdfDocument(pdf)
    images = (page.render(scale=150 / 72).to_pil() for page in pages)
    return {code.text for image in images for code in zxingcpp.read_barcodes(image)}


def fonts_of(pdf: bytes) -> Iterator[dict[str, object]]:
    for page in PdfReader(BytesIO(pdf)).pages:
        for font in page["/Resources"]["/Font"].values():  # type: ignore[index]
            yield font.get_object()


def test_each_place_has_a_code_that_leads_to_it() -> None:
    assert codes_of(labels.draw_labels(ROOM, "Marit’s fishroom")) == {label.link for label in ROOM}


def test_a_code_prints_large_enough_for_a_phone() -> None:
    # the longest deep link there is (64 characters of payload) still has modules of half a millimetre, four times the 0.127 mm
    # of 5-mil laser print (common practice, no source)
    import segno

    modules = len(segno.make_qr("https://t.me/GravelLaneFrywireBot?start=" + "x" * 64, error="m").matrix)
    assert labels.CODE_SIDE / sheet.MM / (modules + 8) >= 0.5


def test_labels_carry_name_kind_and_volume() -> None:
    text = text_of(labels.draw_labels(ROOM, "Marit’s fishroom"))
    for expected in ("Tank 2", "tank · 240 L", "box in Tank 2 · 6 L", "Пруд у сарая", "Marit’s fishroom"):
        assert expected in text
    assert "tank · 63 gal" in text_of(labels.draw_labels(ROOM, "Marit’s fishroom", "us"))  # 240 / 3.785 = 63.4


@pytest.mark.parametrize("label", ROOM, ids=lambda label: label.type)
def test_every_label_says_to_unplug_first(label: labels.PlaceLabel) -> None:
    text = text_of(labels.draw_labels((label,), "Room"))
    assert "Unplug heater, pump and lights before hands go in." in text
    assert "wash hands" in text
    assert "local rules" in text
    assert "vet" in text
    assert "Never release" in text


def test_a_large_tub_says_its_weight_and_minds_the_children() -> None:
    text = text_of(labels.draw_labels((TUB,), "Room"))
    assert "about 500 kg of water" in text
    assert "never leave a child alone" in text
    assert "about 1100 lb of water" in text_of(labels.draw_labels((TUB,), "Room", "us"))  # 500 / 0.4536 = 1102
    assert "kg" not in text_of(labels.draw_labels((BOX,), "Room"))


@pytest.mark.parametrize(("units", "size"), [("metric", (210, 297)), ("us", (215.9, 279.4))])
def test_the_paper_is_the_one_in_the_members_printer(units: sheet.Units, size: tuple[float, float]) -> None:
    # ISO 216 A4 and ANSI/ASME Y14.1 A ("Letter"), in mm
    for pdf in (labels.draw_labels(ROOM, "Room", units), packing.draw_packing_list(PICKUP, units)):
        box = PdfReader(BytesIO(pdf)).pages[0].mediabox
        assert (float(box.width) / 72 * 25.4, float(box.height) / 72 * 25.4) == pytest.approx(size, abs=0.2)


def test_a_large_room_takes_more_pages() -> None:
    many = tuple(replace(TANK, name=f"Tank {n}", link=f"{TANK.link}{n}") for n in range(10))
    pdf = labels.draw_labels(many, "Room")
    assert len(PdfReader(BytesIO(pdf)).pages) == 2
    assert codes_of(pdf) == {label.link for label in many}


def test_long_names_shrink_wrap_and_at_last_end_in_an_ellipsis() -> None:
    long = replace(TUB, name="The big black tub behind the greenhouse door")
    assert "The big black tub behind the greenhouse door" in text_of(labels.draw_labels((long,), "Room"))
    endless = replace(TUB, name="tub " * 60)
    assert "…" in text_of(labels.draw_labels((endless,), "Room"))


def test_letters_of_other_alphabets_are_in_the_file() -> None:
    pdf = labels.draw_labels(ROOM, "Room")
    assert all("/FontFile2" in font["/FontDescriptor"].get_object() for font in fonts_of(pdf) if font["/Subtype"] == "/TrueType")  # type: ignore[attr-defined]


@settings(max_examples=40, deadline=None)
@given(st.text(max_size=200), st.floats(min_value=40, max_value=300), st.integers(min_value=1, max_value=4))
def test_no_line_is_wider_than_its_room(text: str, room: float, at_most: int) -> None:
    lines, size = sheet.lines_that_fit(text, room, 30, 8, at_most)
    assert len(lines) <= at_most
    assert all(sheet.text_width(line, size) <= room or len(line) <= 2 for line in lines)


def test_labels_are_made_of_the_places_in_use() -> None:
    room = Fishroom("marit")
    room.places = {
        "Tank 2": Place("Tank 2", "tank", 240),
        "Old tub": Place("Old tub", "tub", retired=True),
        "Box 1": Place("Box 1", "box", 6, hangs_in="Tank 2"),
    }
    made = labels.labels_of(room, lambda place: f"https://example.org/at/{place.name}")
    assert [label.name for label in made] == ["Tank 2", "Box 1"]
    assert made[1].hangs_in == "Tank 2"
    assert made[1].link == "https://example.org/at/Box 1"


def test_the_packing_list_says_what_goes_along() -> None:
    text = text_of(packing.draw_packing_list(PICKUP))
    for expected in (
        "Sat 18 Apr 2026, 16:30", "Marit hands over to Zoë <Ångström>", "11 fish in 3 bags", "Reservation 14: 1 male, 4 females",
        "Yellow lab (Labidochromis caeruleus)", "M1 “Sol” × F4", "0.125 (about as close as half siblings)", "about 9 Jan 2026",
        "2 of about 1.5 L of water", "small pellets, spirulina flake", "25 °C, pH 8.1", "Reservation 15: 6 unsexed",
        "not measured",
    ):  # fmt: skip
        assert expected in text, expected


def test_the_packing_list_tells_how_to_bring_them_home_and_what_to_mind() -> None:
    text = text_of(packing.draw_packing_list(PICKUP))
    for expected in (
        "15 to 20 minutes", "No bag water into the tank", "no airstone", "within 3 °C", "Never release", "ask a vet",
        "local rules", "not veterinary or legal advice", "Unplug", "oxygen cylinder",
    ):  # fmt: skip
        assert expected in text, expected
    assert "within 5 °F" in text_of(packing.draw_packing_list(PICKUP, "us"))  # a difference of 3 °C is one of 5.4 °F


def test_a_packing_list_of_two_parcels_stays_on_one_page_and_a_long_one_goes_on() -> None:
    assert len(PdfReader(BytesIO(packing.draw_packing_list(PICKUP))).pages) == 1
    long = replace(PICKUP, parcels=(LABS,) * 9)
    pdf = packing.draw_packing_list(long)
    assert len(PdfReader(BytesIO(pdf)).pages) > 1
    assert text_of(pdf).count("Reservation 14") == 9


def test_each_bag_has_a_label_with_its_own_count() -> None:
    text = text_of(packing.draw_bag_labels(PICKUP, "us", "MDY"))
    for expected in ("1 male, 2 females", "2 females", "6 unsexed", "bag 1 of 2", "bag 2 of 2", "bag 1 of 1", "Apr 18, 2026"):
        assert expected in text, expected
    assert text.count("LIVE FISH") == 3
    for caution in ("Float the closed bag", "no bag water into the tank", "Never release", "vet", "77 °F", "pH 8.1"):
        assert caution in text, caution


@given(
    st.integers(0, 40), st.integers(0, 40), st.integers(0, 40), st.integers(1, 12),
)  # fmt: skip
def test_bags_are_filled_evenly_and_nobody_is_left_behind(males: int, females: int, unsexed: int, bags: int) -> None:
    filled = parcels.bag_contents(replace(LABS, males=males, females=females, unsexed=unsexed, bags=bags))
    assert len(filled) == bags
    assert tuple(map(sum, zip(*filled, strict=True))) == (males, females, unsexed)
    assert max(map(sum, filled)) - min(map(sum, filled)) <= 1


@pytest.mark.parametrize(
    ("kinship", "near"),
    [(0.25, "full siblings"), (0.125, "half siblings"), (0.0625, "first cousins"), (0.0, "no kinship"), (None, "not known")],
)
def test_kinship_is_put_into_words(kinship: float | None, near: str) -> None:
    # kinship of full siblings 1/4, half siblings 1/8, first cousins 1/16 (from memory: any textbook of quantitative genetics)
    assert near in packing.kinship_words(kinship)


def test_the_same_values_print_the_same_bytes() -> None:
    assert labels.draw_labels(ROOM, "Room") == labels.draw_labels(ROOM, "Room")
    assert packing.draw_packing_list(PICKUP) == packing.draw_packing_list(PICKUP)


HOSTILE = "<b>Ω</b> & {name} $x$\n" + "Donaudampfschifffahrtsgesellschaftskapitän" * 60


def test_no_name_breaks_a_sheet_or_leaves_its_label() -> None:
    parcel = replace(LABS, strain=HOSTILE, sire=HOSTILE, dam=HOSTILE, food=HOSTILE, scientific=HOSTILE)
    pickup = replace(PICKUP, club=HOSTILE, keeper=HOSTILE, buyer=HOSTILE, parcels=(parcel,) * 3)
    assert "<b>Ω</b> & {name} $x$" in text_of(packing.draw_packing_list(pickup))
    for pdf, rows, margin in (
        (packing.draw_bag_labels(pickup, "us"), 3, 12 * sheet.MM),
        (labels.draw_labels((replace(TUB, name=HOSTILE, hangs_in=HOSTILE),) * 8, HOSTILE, "us"), 4, 12 * sheet.MM),
    ):
        assert "local rules" in text_of(pdf)
        page = pypdfium2.PdfDocument(pdf)[0]
        (width, height), text = page.get_size(), page.get_textpage()
        cuts = [height - margin - row * (height - 2 * margin) / rows for row in range(rows + 1)]
        for left, bottom, right, top in (text.get_rect(n) for n in range(text.count_rects())):
            assert margin - 1 <= left < right <= width - margin + 1
            assert not [cut for cut in cuts if bottom < cut < top]


def test_a_club_without_places_gets_an_empty_sheet() -> None:
    assert len(PdfReader(BytesIO(labels.draw_labels((), "Room"))).pages) == 1
