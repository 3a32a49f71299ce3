"""How near two numbers have to be, each with its reason; lengths need none, they are exact."""

# A few operations in double precision on numbers up to 100 leave an error below 1e-13.
ARITHMETIC = 1e-9

# The reference values in tests/cases are written to six decimals.
SIX_DECIMALS = 6e-7

# Tables of L* are printed to three decimals, tables of density to four or five.
PRINTED_LIGHTNESS = 0.0006
PRINTED_DENSITY = 6e-5
PRINTED_STOP = 6e-6

# CIE 15 gives the break of L* once as fractions and once as decimals; libraries differ by this.
CIE_CONSTANTS = 1e-6

# Points of PDF pages are printed to three decimals.
PRINTED_POINTS = 0.0006

# Report values in mm and mm2 are divided once from whole nanometres.
MILLIMETRES = 1e-9

# Places on a page are sums of lengths in points, each in double precision.
ROUNDED_MM = 1e-6

# The search for the largest image stops within a nanometre; the design promises a micron.
MICRON_NM = 1_000

# A share taken half up, and a place in the middle rounded down, are off by one at the most.
ONE_NM = 1

# Two implementations of CIECAM16 round their constants differently; a tenth of a per cent is far
# below what an eye tells apart.
APPEARANCE_SHARE = 0.001

# Tables of EV are printed to two decimals, of J to two and of Q to one.
PRINTED_EV = 0.006
PRINTED_J = 0.006
PRINTED_Q = 0.06

# Worked exposures are printed to three digits.
PRINTED_LUX_SHARE = 0.005

# Lux stand in a record with three decimals.
PRINTED_LUX = 0.0011

# What reading a wedge back from a scan promises: offsets of mid grey within 0.02 D.
READ_BACK = 0.02

# What reading a photograph of a glossy print promises, unless it is cautioned about or refused.
PHOTOGRAPHED = 0.03

# Light added by a reflection is measured on the frame beside a step and carried over to the step.
ADDED_LIGHT = 0.006

# A scan without noise leaves the rounding of its 8-bit codes: at L* 50 half a code is 0.004 D, and
# white and black are rounded as well.
CODES_8_BIT = 0.006

# The turn of a wedge is found by its frame, hundreds of pixels long, to a pixel at worst.
TURN_DEGREES = 0.5

# A mark of a drawing falls on the nearest pixel.
HALF_A_PIXEL = 0.5

# A colour falls on the nearest of 256 codes.
HALF_A_CODE = 0.51

# One code of 8 bits at mid grey.
ONE_CODE_OF_DENSITY = 0.008

# A window that falls on whole pixels, on a picture 400 pixels high.
A_PIXEL_OF_400 = 1 / 400
