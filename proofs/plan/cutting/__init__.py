"""Mats to cut: openings on the cutter's marks, what they may measure, and their templates."""
