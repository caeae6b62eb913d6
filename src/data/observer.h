/* How the eye weighs light: CIE 1931 2-degree observer under D65, 10 nm bands, and the colour of
 * bleached cotton on the same bands. */
#ifndef THAW_DATA_OBSERVER_H
#define THAW_DATA_OBSERVER_H

#define THAW_OBSERVER_BANDS 36
#define THAW_D65_X          0.95047 /* white, Y = 1: CIE 15 */
#define THAW_D65_Y          1.0
#define THAW_D65_Z          1.08883

typedef struct thaw_observer_band {
    double nm;
    double x, y, z; /* colour matching functions */
    double d65;     /* relative spectral power */
    double cotton;  /* reflectance of bleached cotton, dry */
} thaw_observer_band;

/* Bands 0 .. 35 are 380 .. 730 nm; NULL out of range. */
const thaw_observer_band *thaw_observer_at(int band);

#endif
