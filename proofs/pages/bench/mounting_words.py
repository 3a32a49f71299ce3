"""What to do at the bench for each way of holding a print, with the cautions at the step."""

from proofs.plan.bench.mounting import HoldMethod

TITLES = {
    HoldMethod.HINGES: "Hinges at the top edge",
    HoldMethod.CORNERS: "Corners",
    HoldMethod.STRIPS: "Edge strips",
    HoldMethod.WHOLE: "Stuck down whole: dry mounting or cold film",
}

_PLACE = (
    "Lay the print in its place on the backing, look at it through the window, and put a clean"
    " weight on it."
)
STEPS = {
    HoldMethod.HINGES: (
        _PLACE,
        "Two hinges of acid-free tape or paper on the back of the top edge, near the ends; three"
        " where it is wide. Each holds as much paper as the table says, no more.",
        "Fix the free part of each hinge to the backing with a second piece across. The other"
        " three edges stay free, or the paper buckles as the air changes.",
    ),
    HoldMethod.CORNERS: (
        _PLACE,
        "Slip a paper or film corner over each corner of the sheet and fix it to the backing;"
        " nothing sticks to the print. Leave a hair of play.",
        "No leg longer than the table says: a corner hides only under half its leg of covered"
        " paper. Edge strips do as well.",
    ),
    HoldMethod.STRIPS: (
        _PLACE,
        "Fold strips of thin, acid-free paper and let their edge reach over the print by at most"
        " what the table says: below and at both sides, with a hair of play.",
        "Fix the strips to the backing, never to the print.",
    ),
    HoldMethod.WHOLE: (
        "Try the paper, film or tissue and the heat on a waste print first: some coatings melt"
        " or turn glossy.",
        "Work dust-free. The adhesive covers the back evenly from edge to edge. Never lay it in"
        " thick beads or spots behind the picture: they show as ripples in slanting light.",
        "Cold film: bare a narrow strip, fix one edge in its place, then press outwards from the"
        " middle under clean paper while the liner comes away.",
        "Dry mounting: print, tissue and board dry, press at the tissue maker's heat and time, a"
        " release sheet on the face. Let it cool flat under weight.",
    ),
}

CAUTION_WHOLE = (
    "Care: presses and irons burn; switch off and let them cool before you reach in. Spray"
    " adhesive is very flammable and bad to breathe: only outdoors or with extraction, far from"
    " flames and sparks, with mask and gloves as its safety sheet says. That sheet and your local"
    " rules come first."
)
CAUTION_TRIM = (
    "Care when you trim: a fresh blade, a heavy straightedge with your fingers behind its guard,"
    " cut away from your body; cover the blade when it rests. The toolmaker's sheet and your local"
    " rules come first."
)

WINDOW_TITLE = "Window to backing"
WINDOW_STEPS = (
    "Lay mat and backing open beside each other, face up for the backing and face down for the"
    " mat, long edges touching and ends level.",
    "One strip of acid-free tape along that one long edge is the hinge. The other edges stay"
    " free unless the rules ask for a closed mount.",
    "Lay the print in its place as told below, close the window and look; correct its place, and"
    " only then make it fast.",
    "A print that is stuck down whole goes on its backing before the window is joined to it.",
)

HEAD = (
    "Clean dry hands or cotton gloves, a clean table, no drink on it. Hold prints by their edges."
    " Acid-free tape only, never masking or household tape."
    " The rules of the exhibition in hand always win: some forbid tape or glue of certain kinds."
)
