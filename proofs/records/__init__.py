"""What the user wrote, as checked values."""
