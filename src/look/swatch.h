/* The colour of evenly dyed cloth. */
#ifndef THAW_LOOK_SWATCH_H
#define THAW_LOOK_SWATCH_H

#include <stdbool.h>
#include <stdint.h>

#include "model/materials.h"
#include "thawprint/status.h"

typedef struct thaw_swatch {
    double lab[3];                 /* dry, D65, 2 degrees */
    uint8_t rgb[3];                /* sRGB, hue kept */
    bool is_clipped;               /* more colourful than a screen shows */
} thaw_swatch;

/* Dry cloth with fixed_kg_kg[i] of dye i bonded, kg per kg of cloth; n = 0 is bare cloth. */
thaw_status thaw_look_swatch(const thaw_cloth_kind *cloth, int n, const thaw_component *const *dyes,
                             const double *fixed_kg_kg, thaw_swatch *out, thaw_error *err);

#endif
