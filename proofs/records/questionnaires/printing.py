"""The questions about printing: papers, and what a lab asks and sells."""

from proofs.records.labs import COLOUR_SPACES, FileFormat, RenderingIntent
from proofs.records.papers import Sharpening
from proofs.records.questionnaires.question import Form, Question

ICC_KEY = "colour.profile"
"""The key of a lab that may name an ICC file."""

PAPERS = (
    Question("title", "What is the paper?", "Smooth matt paper, 310 g/m²", is_needed=True),
    Question(
        "source", "Where are the figures from?", "the maker's data sheet", "my own", is_needed=True
    ),
    Question(
        "finish", "What is its finish: matt, lustre, gloss?", "matt", "lustre", is_needed=True
    ),
    Question("thickness", "How thick is it?", "0.27 mm", "0.27 mm"),
    Question(
        "sharpening",
        "How much is a file sharpened for it?",
        "standard",
        "low",
        choices=tuple(Sharpening),
    ),
    Question(
        "black",
        "What is the L* of its deepest black? Without an answer, as is usual for the finish.",
        "16",
        form=Form.NUMBER,
    ),
)

LABS = (
    Question(
        "title", "What are lab and product called?", "Lab at the corner, lustre", is_needed=True
    ),
    Question(
        "source", "Where are the figures from?", "the lab's web page", "my own", is_needed=True
    ),
    Question(
        "file.ppi",
        "How many pixels per inch must a file have?",
        "300",
        "300",
        form=Form.COUNT,
        is_needed=True,
    ),
    Question(
        "file.format",
        "In which format?",
        "tiff",
        "jpeg",
        choices=(FileFormat.JPEG, FileFormat.TIFF, FileFormat.PNG),
        is_needed=True,
    ),
    Question(
        "file.bits",
        "With how many bits for each colour, 8 or 16?",
        "8",
        "8",
        form=Form.COUNT,
    ),
    Question(
        "file.quality",
        "With which JPEG quality?",
        "95",
        "95",
        form=Form.COUNT,
        only_if=(("file.format", (FileFormat.JPEG,)),),
    ),
    Question("file.most_bytes", "How large may a file be at most?", "40 MB"),
    Question(
        ICC_KEY,
        f"In which colour space: {', '.join(COLOUR_SPACES)}, or an ICC file beside the profile?",
        "srgb",
        "srgb",
        is_needed=True,
    ),
    Question(
        "colour.intent",
        "How are colours brought into it?",
        "relative",
        "relative",
        choices=tuple(RenderingIntent),
    ),
    Question(
        "print.sheets",
        "Which sheets of paper does the lab sell?",
        "8x10 in, 12x16 in, 16x20 in",
        "8x10 in, 11x14 in, 12x16 in, 16x20 in, 20x24 in",
        form=Form.TEXTS,
    ),
    Question(
        "print.edge_to_edge",
        "Which of these does it also print to the edge, without white?",
        "8x10 in",
        form=Form.TEXTS,
        only_if=(("print.sheets", ()),),
    ),
    Question("print.margin", "How much white does it need around an image?", "1/8 in", "1/8 in"),
    Question(
        "print.edge_loss",
        "How much may it trim off a print without a margin?",
        "1/8 in",
        "1/8 in",
    ),
    Question(
        "print.scale_error",
        "By what share of its length may a print come out larger or smaller?",
        "0.005",
        "0.005",
        form=Form.NUMBER,
    ),
    Question("print.sharpens", "Does the lab sharpen the files?", "no", "no", form=Form.YES_NO),
    Question(
        "print.papers",
        "What does the lab call its papers? The first is the usual one.",
        "Lustre, Matt",
        form=Form.TEXTS,
    ),
    Question(
        "print.finishes",
        "What does it call its finishes? The first is the usual one.",
        "lustre, gloss",
        form=Form.TEXTS,
    ),
    Question(
        "print.prices", "What do its sheets cost?", "8x10 in: 4.50, 12x16 in: 9", form=Form.TEXTS
    ),
    Question(
        "print.currency",
        "In which currency?",
        "EUR",
        only_if=(("print.prices", ()),),
    ),
    Question("order.postage", "What does it charge for postage?", "6.50"),
    Question(
        "order.postage_free_from",
        "From which cost of the prints on is postage free?",
        "60.00",
        only_if=(("order.postage", ()),),
    ),
    Question("order.tax", "Which tax is on prints and postage?", "20 %"),
    Question(
        "order.prices_include_tax",
        "Do prices and postage contain it?",
        "no",
        "no",
        form=Form.YES_NO,
        only_if=(("order.tax", ()),),
    ),
)
