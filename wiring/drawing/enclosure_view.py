def enclosure_groups(design, paper): return []
