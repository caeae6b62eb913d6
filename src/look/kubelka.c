#include "look/kubelka.h"

#include <math.h>
#include <string.h>

/* Yellowing of undyed cloth, estimates: see the header. */
#define WARM_RATIO    0.16
#define WARM_START_NM 400.0
#define WARM_SLOPE_NM 90.0
#define G_PER_KG      1000.0
#define CHUNK         THAW_KUBELKA_CHUNK

double thaw_kubelka_ratio(double reflectance, double gloss)
{
    double r = (reflectance - gloss) / (1.0 - gloss);
    return (1.0 - r) * (1.0 - r) / (2.0 * r);
}

double thaw_kubelka_reflectance(double ratio, double gloss)
{
    /* The same as 1 + q - sqrt(q^2 + 2q), without the difference of large numbers. */
    return gloss + (1.0 - gloss) / (1.0 + ratio + sqrt(ratio * (ratio + 2.0)));
}

double thaw_kubelka_absorption(const thaw_component *component, double nm)
{
    double sum = 0.0;
    for (int i = 0; i < component->n_bands; i++) {
        const thaw_absorption_band *band = &component->bands[i];
        double t = (nm - band->centre_nm) / band->width_nm;
        sum += band->height * exp(-0.5 * t * t);
    }
    return sum;
}

static void prepare_cloth(const thaw_cloth_kind *cloth, thaw_kubelka *out)
{
    double white[3] = {THAW_D65_X, THAW_D65_Y, THAW_D65_Z}, sum[3] = {0.0, 0.0, 0.0};
    for (int b = 0; b < THAW_OBSERVER_BANDS; b++) {
        const thaw_observer_band *o = thaw_observer_at(b);
        out->cloth[b] =
            thaw_kubelka_ratio(o->cotton, THAW_GLOSS_DRY) +
            cloth->white_warmth * WARM_RATIO * exp((WARM_START_NM - o->nm) / WARM_SLOPE_NM);
        double match[3] = {o->x, o->y, o->z};
        for (int c = 0; c < 3; c++) {
            out->weight[c][b] = o->d65 * match[c];
            sum[c] += out->weight[c][b];
        }
    }
    for (int c = 0; c < 3; c++) {
        for (int b = 0; b < THAW_OBSERVER_BANDS; b++) {
            out->weight[c][b] *= white[c] / sum[c];
        }
    }
}

static bool has_dye(const thaw_print *print, int component, bool wet)
{
    size_t n = (size_t)print->nx * (size_t)print->ny;
    const double *fixed = print->fixed_kg_m2[component];
    const double *loose = wet ? print->loose_kg_m2[component] : NULL;
    for (size_t k = 0; k < n; k++) {
        if (fixed[k] > 0.0 || (loose && loose[k] > 0.0)) {
            return true;
        }
    }
    return false;
}

void thaw_kubelka_prepare(const thaw_print *print, bool wet, thaw_kubelka *out)
{
    memset(out, 0, sizeof *out);
    out->wet = wet;
    out->gloss = wet ? THAW_GLOSS_WET : THAW_GLOSS_DRY;
    prepare_cloth(print->cloth, out);
    double scale = G_PER_KG / print->cloth->mass_kg_m2 * print->cloth->colour_yield;
    for (int i = 0; i < print->n_components; i++) {
        if (!has_dye(print, i, wet)) {
            continue;
        }
        for (int b = 0; b < THAW_OBSERVER_BANDS; b++) {
            out->absorb[out->n_dyes][b] =
                scale * thaw_kubelka_absorption(print->components[i], thaw_observer_at(b)->nm);
        }
        out->dye[out->n_dyes++] = i;
    }
}

/* One band over all pixels: straight loops that vectorise. */
static void add_band(const thaw_kubelka *kubelka, int b, int n, float dye[][CHUNK],
                     const float *restrict factor, float xyz[3][CHUNK])
{
    float ratio[CHUNK];
    float gloss = (float)kubelka->gloss, rest = 1.0f - gloss, cloth = (float)kubelka->cloth[b];
    float wx = (float)kubelka->weight[0][b], wy = (float)kubelka->weight[1][b],
          wz = (float)kubelka->weight[2][b];
    for (int p = 0; p < n; p++) {
        ratio[p] = cloth;
    }
    for (int d = 0; d < kubelka->n_dyes; d++) {
        float a = (float)kubelka->absorb[d][b];
        for (int p = 0; p < n; p++) {
            ratio[p] += a * dye[d][p];
        }
    }
    float *restrict x = xyz[0], *restrict y = xyz[1], *restrict z = xyz[2];
    for (int p = 0; p < n; p++) {
        float q = ratio[p] * factor[p];
        float r = gloss + rest / (1.0f + q + sqrtf(q * (q + 2.0f)));
        x[p] += wx * r;
        y[p] += wy * r;
        z[p] += wz * r;
    }
}

void thaw_kubelka_xyz(const thaw_kubelka *kubelka, int n, double dye[][CHUNK],
                      const double *saturation, double xyz[3][CHUNK])
{
    /* Single precision keeps L*a*b* within 1e-4 and halves the time. */
    float factor[CHUNK], single[THAW_MAX_COMPONENTS][CHUNK], sum[3][CHUNK] = {{0.0f}};
    for (int p = 0; p < n; p++) {
        factor[p] =
            kubelka->wet && saturation ? (float)(1.0 + fmin(fmax(saturation[p], 0.0), 1.0)) : 1.0f;
    }
    for (int d = 0; d < kubelka->n_dyes; d++) {
        for (int p = 0; p < n; p++) {
            single[d][p] = (float)dye[d][p];
        }
    }
    for (int b = 0; b < THAW_OBSERVER_BANDS; b++) {
        add_band(kubelka, b, n, single, factor, sum);
    }
    for (int c = 0; c < 3; c++) {
        for (int p = 0; p < n; p++) {
            xyz[c][p] = (double)sum[c][p];
        }
    }
}
