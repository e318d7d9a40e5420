"""What several instruments draw: gauge faces, cylinders, thermometers, the circuit, the glass, rows of numbers; and the
colors, sizes and words of SVG that all of them use."""
