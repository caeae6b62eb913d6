/* The numbers people ask for, computed from one finished run. */
#ifndef THAW_MODEL_FIGURES_H
#define THAW_MODEL_FIGURES_H

#include "model/specification.h"

#define THAW_PALETTE 5

/* Measured on the picture of the dry cloth. */
typedef struct thaw_look_figures {
    double white_share;            /* share of cloth that stays white: L* within 6 of undyed, C* within 8 */
    double fineness;               /* share of L* variance at wavelengths under 20 mm, broad zones (10 cm mean) taken out */
    double grain_weft_m, grain_warp_m; /* 1/e length of the autocorrelation of L*, broad zones taken out */
    double bleed_share;            /* share of cloth showing two or more dyes */
    double depth;                  /* L* of bare cloth minus mean L* */
    double unevenness;             /* standard deviation of L* */
    struct {
        double lab[3];
        unsigned char rgb[3];
        double share;
    } palette[THAW_PALETTE];       /* typical colours, largest share first */
} thaw_look_figures;

/* How far visible dye got along the hanging cloth, from the ice line: over the columns of the cloth. */
typedef struct thaw_climb {
    double low_m, median_m, high_m; /* a tenth of the columns end at or before it; half; nine tenths */
} thaw_climb;

#endif
