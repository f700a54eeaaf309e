//! Physical quantities as riggers write them: read, held in SI, printed in US or SI units.
