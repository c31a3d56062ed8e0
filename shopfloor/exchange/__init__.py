"""Lists in and out: frames, meshes and jobs from a CSV file, everything in the book as CSV."""
