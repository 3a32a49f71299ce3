"""What goes on paper, as values, before any PDF; pure."""
