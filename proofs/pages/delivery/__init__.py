"""The order for a lab: the ticket and its lists."""
