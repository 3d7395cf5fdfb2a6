"""The solved design: plan, parts, circuit, rulebook and operating points in one frozen record that rules read."""
