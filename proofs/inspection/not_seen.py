"""What an inspection cannot see; the page and the record say so in the same words."""

NOT_SEEN = (
    "Anything in busy texture: grass, leaves, gravel, water in the wind.",
    "Spots that differ from their ground by less than 3 L*, or in colour alone, and broad soft"
    " shadows of the sensor.",
    "Specks that touch an edge of the subject, and lines that follow one of its lines.",
    "Dirt among many things like it: stars, drops, snow, sand. Their number tells against them.",
    "Banding in skies; borders of nearly the colour of the picture beside them.",
)
