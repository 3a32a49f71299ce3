"""Mats to cut: openings on the cutter's marks, the sizes they may have, and their templates."""
