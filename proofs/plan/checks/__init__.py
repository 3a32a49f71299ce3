"""What rules, mount and lab allow, and the findings of an entry."""
