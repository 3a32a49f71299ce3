"""What several commands share: inputs, preflight, workers, print files, reports."""
