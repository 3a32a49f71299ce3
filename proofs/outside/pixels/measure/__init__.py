"""What can be measured in pictures: tones, edges, colour losses, scans."""
