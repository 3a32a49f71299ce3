"""Tolerances for pixels, each with its reason."""

# Our own limits, on top of the error of rounding:
# 0.02 mean for spaces up to Adobe RGB, 0.04 for ROMM-class ones, 0.8 at the 99th percentile.
MEAN_OVER_IDEAL = 0.02
MEAN_OVER_IDEAL_VERY_WIDE = 0.04
MOST_99TH = 0.8
MEAN_16_BIT = 0.10

# Between this program and Little CMS for CMYK and look-up profiles, where both interpolate.
MEAN_TO_LITTLE_CMS = 0.3

# Two computations of one matrix differ by the digits of their white.
MATRIX = 2e-4

# Numbers in a profile are kept to 1/65536, curves to 16 bits.
PROFILE_NUMBER = 1.6 / 65536

# Half an 8-bit code for rounding, and a little for the measurement.
CODE = 0.51

# The limits of resampling against the reference in double precision: one 8-bit code, two
# near clipping. The program is off only by rounding to 16 bits, 1/514 of such a code.
REDUCED_CODES = 1.0
REDUCED_CODES_NEAR_CLIPPING = 2.0
ROUNDED = 0.01

# CIELAB of patches, our own limits: for lossless files, and for JPEG.
PATCH = 1.0
PATCH_JPEG = 3.0

# The centre of a blob after resampling, in pixels of the result.
CENTRE = 0.02

# Single precision sums.
SINGLE = 1e-5

# Our own limit before rounding to 8 bits; a 16-bit code is 0.00003 D.
DENSITY = 1e-3

# On a ramp the ideal is at most half a code off; the engine's interpolation adds to it.
RAMP_CODES = 0.9

# 16-bit patches through a 16-bit file: what remains is from tables and interpolation.
PATCH_16 = 0.5

# Pillow rounds the a* and b* of CMYK to whole numbers, and JPEG adds its own error.
PATCH_INKS = 2.0

# What JPEG does to a hard edge at quality 97.
JPEG_CODES = 12

# An 8-bit code at mid grey is 0.004 of the light; rounding takes half of it, up or down.
GREY_LIGHT = 0.004

# The program's own limits for mid grey: one 8-bit code, and what 16 bits allow.
ONE_CODE_OF_DENSITY = 0.008
DENSITY_AT_16_BITS = 0.002

# The table lists the L* of 8-bit codes to two decimals.
PRINTED_LIGHTNESS = 0.01

# How far a* and b* of a neutral may be off; below it nobody sees a tint.
NEUTRAL = 0.5

# Profiles store a power to 1/256: 1.8 becomes 1.8008, which darkens mid grey by 0.0155 L*.
LIGHTNESS_BY_A_POWER = 0.02
