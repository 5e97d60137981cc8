"""Whether things are mounted where they may be: sparks, gas, heat, metal edges and distance."""
