/* Colour of dyed cloth by one-constant Kubelka-Munk in 36 bands of 10 nm.
 *   K/S(lambda) = K/S(cloth) + colour yield x sum of dye_i a_i(lambda)      dye in g per kg of
 * cloth R_KM = 1 + q - sqrt(q^2 + 2q),  R = r0 + (1 - r0) R_KM wet: q = K/S x (1 + saturation), r0
 * 0.010; dry: q = K/S, r0 0.015 r0 is light sent back from fibre surfaces; without it deep shades
 * come out far too black. r0 and the wet factor are estimates: K/S rises linearly with the liquid
 * taken up, by 1.5 to 3 times when full.
 *
 * Bare cloth: bleached cotton, or towards yellowish undyed fibre by the cloth's white_warmth w,
 * which adds w x 0.16 exp(-(nm - 400)/90) to K/S: pigments of raw fibre absorb less and less
 * towards red. Amount and slope are estimates, set so that w = 1 gives b* 13, as unbleached linen
 * has (10 .. 14). */
#ifndef THAW_LOOK_KUBELKA_H
#define THAW_LOOK_KUBELKA_H

#include <stdbool.h>

#include "data/observer.h"
#include "model/print.h"

#define THAW_GLOSS_DRY 0.015
#define THAW_GLOSS_WET 0.010
/* Pixels that one call of thaw_kubelka_xyz takes. */
#define THAW_KUBELKA_CHUNK 256

/* Everything the colour of one cloth needs, per band. Dyes without any trace are left out. */
typedef struct thaw_kubelka {
    bool wet;
    double gloss;
    int n_dyes;
    int dye[THAW_MAX_COMPONENTS];                            /* which component of the print */
    double cloth[THAW_OBSERVER_BANDS];                       /* K/S of bare dry cloth */
    double absorb[THAW_MAX_COMPONENTS][THAW_OBSERVER_BANDS]; /* K/S per kg/m2 */
    double weight[3][THAW_OBSERVER_BANDS]; /* XYZ of a perfect white in the band */
} thaw_kubelka;

double thaw_kubelka_ratio(double reflectance, double gloss); /* K/S of a measured reflectance */
double thaw_kubelka_reflectance(double ratio, double gloss);

/* a(lambda) of a component, K/S per (g fixed per kg cotton). */
double thaw_kubelka_absorption(const thaw_component *component, double nm);

void thaw_kubelka_prepare(const thaw_print *print, bool wet, thaw_kubelka *out);

/* XYZ of n <= THAW_KUBELKA_CHUNK places. dye[d] holds kg/m2 of dye d of the table; saturation may
 * be NULL when dry. Proof: outside/colour_test, property/look_property_test. */
void thaw_kubelka_xyz(const thaw_kubelka *kubelka, int n, double dye[][THAW_KUBELKA_CHUNK],
                      const double *saturation, double xyz[3][THAW_KUBELKA_CHUNK]);

/* Dye of the d-th in the table that shows on cell k: bonded, and if wet the loose dye too. */
static inline double thaw_kubelka_dye(const thaw_kubelka *kubelka, const thaw_print *print, int d,
                                      size_t k)
{
    int i = kubelka->dye[d];
    double loose = kubelka->wet && print->loose_kg_m2[i] ? print->loose_kg_m2[i][k] : 0.0;
    return print->fixed_kg_m2[i][k] + loose;
}

#endif
