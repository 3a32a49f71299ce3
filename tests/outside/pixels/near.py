"""How near two numbers about pixels have to be, each with its reason."""

# What an exact answer loses by rounding is what the brief of the colour path allows on top of:
# 0.02 mean for spaces up to Adobe RGB, 0.04 for ROMM-class ones, 0.8 at the 99th percentile.
MEAN_OVER_IDEAL = 0.02
MEAN_OVER_IDEAL_VERY_WIDE = 0.04
MOST_99TH = 0.8
MEAN_16_BIT = 0.10

# Between this program and Little CMS over CMYK and look-up profiles, where both interpolate.
MEAN_TO_LITTLE_CMS = 0.3

# Two makers of one matrix differ by the digits of the white they start from.
MATRIX = 2e-4

# Numbers in a profile are kept to 1/65536, curves to 16 bits.
PROFILE_NUMBER = 1.6 / 65536

# Half a code of 8 bits is rounding; a little more is that of the reading.
CODE = 0.51

# The limits of the resampling against the reference in double precision: one code of 8 bits, two
# near clipping. Ours is off by rounding to 16 bits alone, which is 1/514 of such a code.
REDUCED_CODES = 1.0
REDUCED_CODES_NEAR_CLIPPING = 2.0
ROUNDED = 0.01

# Lab of patches, as the cases' own notes ask for: lossless files, and JPEG.
PATCH = 1.0
PATCH_JPEG = 3.0

# Where the middle of a blob lies after resampling, in pixels of the result.
CENTRE = 0.02

# Single precision sums.
SINGLE = 1e-5

# What the check values allow before rounding to 8 bits; a code of 16 bits is 0.00003 D.
DENSITY = 1e-3

# On a ramp the ideal is half a code away at the most; the engine's straight lines add to it.
RAMP_CODES = 0.9

# Patches of 16 bits through a 16-bit file: what is left is tables and straight lines.
PATCH_16 = 0.5

# Pillow tells the Lab of inks in whole numbers of a* and b*, JPEG adds its own.
PATCH_INKS = 2.0

# What JPEG does to a hard edge at quality 97.
JPEG_CODES = 12

# A code of 8 bits at mid grey is 0.004 of the light; half of it is rounding, on both ways.
GREY_LIGHT = 0.004

# The program's own limits for mid grey: one code of 8 bits there, and what 16 bits allow.
ONE_CODE_OF_DENSITY = 0.008
DENSITY_AT_16_BITS = 0.002

# The table of L* tells codes of 8 bits to two decimals.
PRINTED_LIGHTNESS = 0.01

# By how much a* and b* of a neutral may move; below it nobody sees a tint.
NEUTRAL = 0.5

# Profiles keep a power to 1/256: 1.8 becomes 1.8008, which darkens mid grey by 0.0155 L*.
LIGHTNESS_BY_A_POWER = 0.02
