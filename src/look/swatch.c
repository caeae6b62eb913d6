#include "look/swatch.h"

#include "look/colour.h"
#include "look/render.h"

/* Half a step of 8 bits beyond the brightest and the darkest that a screen shows, in linear light. */
#define BEYOND_WHITE (1.0 + 2.275 * 0.5 / 255.0)
#define BEYOND_BLACK (-0.5 / 255.0 / 12.92)

thaw_status thaw_look_swatch(const thaw_cloth_kind *cloth, int n, const thaw_component *const *dyes,
                             const double *fixed_kg_kg, thaw_swatch *out, thaw_error *err)
{
    double fixed[THAW_MAX_COMPONENTS], dry = 0.0, xyz[3], rgb[3];
    thaw_print print = {.nx = 1, .ny = 1, .cell_m = 0.001, .cloth = cloth, .saturation = &dry};
    thaw_swatch swatch = {.is_clipped = false};
    for (int i = 0; i < n && i < THAW_MAX_COMPONENTS; i++) {
        fixed[i] = fixed_kg_kg[i] * cloth->mass_kg_m2;
        print.components[i] = dyes[i];
        print.fixed_kg_m2[i] = &fixed[i];
        print.n_components++;
    }
    thaw_status status = thaw_look_cells(&print, false, xyz, err);
    if (status != THAW_OK) {
        return status;
    }
    thaw_colour_lab(xyz, swatch.lab);
    thaw_colour_linear(xyz, rgb);
    for (int c = 0; c < 3; c++) {
        swatch.is_clipped = swatch.is_clipped || rgb[c] < BEYOND_BLACK || rgb[c] > BEYOND_WHITE;
    }
    thaw_colour_lab_bytes(swatch.lab, swatch.rgb);
    *out = swatch;
    return THAW_OK;
}
