"""The questions about an exhibition: its rules, the judges' light, and the days of work."""

from proofs.records.lights import Lamp, Ultraviolet
from proofs.records.questionnaires.question import Form, Question
from proofs.records.rules import LabelLine

RULES = (
    Question(
        "title",
        "What is the exhibition called?",
        "Harbour Hall print exhibition",
        is_needed=True,
    ),
    Question(
        "source",
        "Where are its rules from?",
        "the entry form of 2026",
        "the rules of the exhibition in hand",
        is_needed=True,
    ),
    Question("unit", "In which unit are the rules written?", "in", "in", choices=("in", "mm")),
    Question(
        "read_on",
        "On which day did you read them?",
        "2026-06-01",
        form=Form.DATE,
    ),
    Question(
        "closing_date",
        "Which is the last day on which prints are received?",
        "2026-11-30",
        form=Form.DATE,
    ),
    Question("board.size", "How large must the board be?", "16x20 in"),
    Question(
        "board.fit",
        "Exactly that, or at most?",
        "at most",
        "exact",
        choices=("exact", "at most"),
        only_if=(("board.size", ()),),
    ),
    Question(
        "visible.longest_least",
        "How long must the longest visible side be at least?",
        "10 in",
    ),
    Question("visible.longest_most", "How long may the longest visible side be at most?", "16 in"),
    Question(
        "visible.shortest_least",
        "How long must the shortest visible side be at least?",
        "4 in",
    ),
    Question(
        "visible.shortest_most", "How long may the shortest visible side be at most?", "12 in"
    ),
    Question("border[1].least", "How wide must the borders of the mat be at least?", "2 in"),
    Question(
        "thickness.least", "How thick must mat, print and backing be together at least?", "3 mm"
    ),
    Question(
        "thickness.most", "How thick may mat, print and backing be together at most?", "10 mm"
    ),
    Question(
        "mat.colours",
        "Which colours may a mat have? Without an answer, any.",
        "white, off-white",
        form=Form.TEXTS,
    ),
    Question(
        "entries.most_per_category",
        "How many entries may one person have in a category?",
        "4",
        form=Form.COUNT,
    ),
    Question(
        "entries.categories",
        "Which categories are there? Without an answer, any.",
        "Colour, Monochrome",
        form=Form.TEXTS,
    ),
    Question(
        "entries.monochrome_categories",
        "Which categories are for monochrome pictures only?",
        "Monochrome",
        form=Form.TEXTS,
    ),
    Question(
        "label.ask",
        "What must a label hold besides title, category and an arrow?",
        "name, address",
        form=Form.TEXTS,
        choices=tuple(LabelLine),
    ),
)

LIGHTS = (
    Question("title", "What is the light?", "The judging table of our hall", is_needed=True),
    Question(
        "source", "Where are the figures from?", "measured on 3 June 2026", "my own", is_needed=True
    ),
    Question(
        "lux", "How bright is it on the print, in lux?", "500", form=Form.NUMBER, is_needed=True
    ),
    Question("kelvin", "What is its colour temperature, in kelvin?", "4000", form=Form.NUMBER),
    Question("lamp", "What kind of lamp is it?", "led", "unknown", choices=tuple(Lamp)),
    Question("uv", "Is there ultraviolet in it?", "without", "unknown", choices=tuple(Ultraviolet)),
    Question(
        "angle",
        "From which angle does it come, in degrees? Head on is 0, usual is 45.",
        "45",
        form=Form.NUMBER,
    ),
)

_DAYS = (
    ("strip", "have test strips printed and compare them", "7"),
    ("prints", "have the prints made", "7"),
    ("reserve", "have one of them made again", "7"),
    ("bench", "cut and mount", "3"),
    ("drying", "let everything dry and settle", "2"),
    ("shipping", "get the parcel there", "5"),
)
TIMETABLES = (
    Question("title", "What is the timetable for?", "Working at weekends", is_needed=True),
    Question("source", "Where are the days from?", "last year's jobs", "my own", is_needed=True),
    *(
        Question(
            f"working_days.{step}",
            f"How many working days does it take to {words}?",
            days,
            days,
            form=Form.COUNT,
            is_needed=True,
        )
        for step, words, days in _DAYS
    ),
    Question(
        "weekdays",
        "On which days of the week do you work? Without an answer, Monday to Friday.",
        "sat, sun",
        form=Form.TEXTS,
        choices=("mon", "tue", "wed", "thu", "fri", "sat", "sun"),
    ),
    Question("days_off", "Which other days are off?", "2026-12-27, 2026-12-28", form=Form.DATES),
    Question(
        "country",
        "Which country's public holidays are off? Without an answer, none. Write its two letters"
        " of ISO 3166.",
        "GB",
    ),
    Question(
        "subdivision",
        "Which part of that country, by its code in ISO 3166?",
        "SCT",
        only_if=(("country", ()),),
    ),
)
