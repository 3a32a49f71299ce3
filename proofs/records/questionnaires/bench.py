"""The questions about the bench: mounts, and how true they are cut."""

from proofs.records.mounts import BevelKind, WindowKind, WindowPlacing, WindowShape
from proofs.records.questionnaires.question import Form, Question

_WITH_MAT = ("window.kind", (WindowKind.OVERLAP, WindowKind.REVEAL, WindowKind.FLOAT))
_HAS_MAT = ("mat.thickness", ())

MOUNTS = (
    Question("title", "What is the mount?", "White mat with wide borders", is_needed=True),
    Question(
        "source", "Where are the figures from?", "measured on my bench", "my own", is_needed=True
    ),
    Question(
        "window.kind",
        "Does the mat overlap the image, leave a reveal of paper around it, or stand clear of a"
        " floating print? Or is a surround printed with the image, or is there no window?",
        "overlap",
        "overlap",
        choices=tuple(WindowKind),
        is_needed=True,
    ),
    Question(
        "window.overlap",
        "How much of the image does the mat hide on each side?",
        "1/8 in",
        "1/8 in",
        only_if=(("window.kind", (WindowKind.OVERLAP,)),),
        is_needed=True,
    ),
    Question(
        "window.reveal",
        "How much paper shows around the image?",
        "1/4 in",
        "1/4 in",
        only_if=(("window.kind", (WindowKind.REVEAL,)),),
        is_needed=True,
    ),
    Question(
        "window.reveal_bottom",
        "How much below it? Without an answer, as much.",
        "3/8 in",
        only_if=(("window.kind", (WindowKind.REVEAL,)),),
    ),
    Question(
        "mat.thickness",
        "How thick is the mat? A floating print needs none.",
        "1.4 mm",
        "1.4 mm",
        only_if=(_WITH_MAT,),
    ),
    Question("mat.colour", "What colour is the mat?", "white", "white", only_if=(_HAS_MAT,)),
    Question(
        "mat.core_colour",
        "What colour is its core, which the bevel shows?",
        "white",
        "white",
        only_if=(_HAS_MAT,),
    ),
    Question(
        "window.bevel",
        "How is the bevel cut?",
        "ordinary",
        "ordinary",
        choices=tuple(BevelKind),
        only_if=(_HAS_MAT,),
    ),
    Question(
        "window.shape",
        "What shape is the window?",
        "oval",
        "rectangle",
        choices=tuple(WindowShape),
        only_if=(("window.kind", (WindowKind.OVERLAP,)),),
    ),
    Question(
        "window.paper",
        "How much of its own paper does a floating print show around the image?",
        "1/2 in",
        only_if=(("window.kind", (WindowKind.FLOAT,)),),
    ),
    Question(
        "window.gap",
        "How much board shows between print and window?",
        "1/4 in",
        "1/4 in",
        only_if=(("window.kind", (WindowKind.FLOAT,)), _HAS_MAT),
        is_needed=True,
    ),
    Question(
        "spacer",
        "How thick are the spacers below a floating print?",
        "1/8 in",
        only_if=(("window.kind", (WindowKind.FLOAT,)),),
    ),
    Question("least_border", "How wide must the borders be at least?", "2 in", "2 in"),
    Question(
        "placing",
        "Where is the opening on the board?",
        "bottom-weighted",
        "centred",
        choices=tuple(WindowPlacing),
    ),
    Question("board", "How large is the board? Without an answer, as the rules ask.", "16x20 in"),
    Question(
        "opening",
        "Is the mat cut already? Then how large is its opening: at the back, or at the face of a"
        " reverse bevel? Without an answer, the opening follows from the image.",
        "13 1/2 x 10 1/2 in",
        only_if=(
            ("window.kind", (WindowKind.OVERLAP, WindowKind.REVEAL)),
            ("board", ()),
        ),
    ),
    Question(
        "backing.thickness", "How thick is the backing?", "3/16 in", "3/16 in", is_needed=True
    ),
    Question("backing.colour", "What colour is the backing?", "white", "white"),
    Question("tape", "How thick is the tape or hinge behind the print?", "0.1 mm", "0.1 mm"),
)

CUTTERS = (
    Question("title", "What is the cutter?", "Mat cutter on a rail", is_needed=True),
    Question("source", "Where are the figures from?", "ten trial cuts", "my own", is_needed=True),
    Question(
        "tolerance.cut", "How far may a cut be off its line?", "0.5 mm", "0.5 mm", is_needed=True
    ),
    Question(
        "tolerance.placing",
        "How far may a print be off its place behind the opening?",
        "1 mm",
        "1 mm",
        is_needed=True,
    ),
    Question(
        "tolerance.reading",
        "How far may your ruler's reading of a print be off? Without an answer, half a mark.",
        "0.5 mm",
    ),
    Question(
        "scale.unit",
        "In which unit is its scale? Without an answer, in that of the rules.",
        "in",
        choices=("in", "mm"),
    ),
    Question(
        "scale.step",
        "How far apart are two marks of the scale?",
        "1/16 in",
        only_if=(("scale.unit", ()),),
    ),
    Question(
        "scale.scale_offset",
        "What must be added to a border to get the setting? It may be negative.",
        "1/32 in",
    ),
    Question(
        "scale.overrun",
        "How far does a cut run past the corner? Without an answer, as the bevel needs.",
        "2 mm",
    ),
    Question(
        "scale.stop",
        "Does it have a stop, to be set once for many cuts?",
        "yes",
        "yes",
        form=Form.YES_NO,
    ),
    Question(
        "scale.reach",
        "How wide a border can the stop be set to? Without an answer, any.",
        "5 in",
        only_if=(("scale.stop", (True,)),),
    ),
)
