"""How dark to print: tones, densities, the light at home and at the judging."""
