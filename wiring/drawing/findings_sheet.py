def findings_contents(prepared, circuits, paper): return []
