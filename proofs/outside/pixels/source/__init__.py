"""Picture files read: from any format to upright pixels with a profile."""
