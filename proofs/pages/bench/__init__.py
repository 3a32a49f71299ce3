"""The pages of ``mounting.pdf``, besides those on cutting."""
