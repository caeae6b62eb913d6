#include "data/ices.h"

#include <stddef.h>

#include "base/words.h"

/* Sizes are medians of the diameter of the sphere of equal volume; a cube of edge a has 1.2407 a.
 * Snow 1.5 mm; crushed 5-10 mm; cubes of 27 mm edge; a block broken by hand into 50-120 mm.
 * Packing: random heaps of like pieces (from memory; fresh snow lower, at 0.10-0.15).
 * Area factor: 1.24 is exact for the cube, the others are estimates, as is every sigma_ln.
 * Start temperature: estimates within what a freezer (-18 C) and the way to the table allow. */
static const thaw_ice_kind ICES[] = {
    {
        .name = "snow",
        .remark = "settled snow, grains 1-2 mm: soaks in evenly, finest grain",
        .diameter_m = 0.0015,
        .sigma_ln = 0.35,
        .packing = 0.30,
        .area_factor = 1.30,
        .start_k = 271.65,
        .source = "size and packing from memory; spread, area factor, start -1.5 degC estimate",
    },
    {
        .name = "crushed",
        .remark = "crushed ice, 5-10 mm: many weak drips, fine grain",
        .diameter_m = 0.0075,
        .sigma_ln = 0.35,
        .packing = 0.55,
        .area_factor = 1.25,
        .start_k = 268.15,
        .source = "size and packing from memory; spread, area factor, start -5 degC estimate",
    },
    {
        .name = "cubes",
        .remark = "household cubes, 27 mm edge: clear spots and streaks",
        .diameter_m = 0.0335,
        .sigma_ln = 0.10,
        .packing = 0.57,
        .area_factor = 1.24,
        .start_k = 265.15,
        .source = "size and packing from memory; area factor exact; spread, start -8 degC estimate",
    },
    {
        .name = "block",
        .remark = "a block broken up, 50-120 mm: few strong rivulets, large plain grounds",
        .diameter_m = 0.080,
        .sigma_ln = 0.30,
        .packing = 0.50,
        .area_factor = 1.25,
        .start_k = 265.15,
        .source = "size from memory; packing, spread, area factor, start -8 degC estimate",
    },
};

#define N_ICES ((int)(sizeof ICES / sizeof ICES[0]))

int thaw_ices_count(void)
{
    return N_ICES;
}

const thaw_ice_kind *thaw_ices_at(int i)
{
    return i >= 0 && i < N_ICES ? &ICES[i] : NULL;
}

const thaw_ice_kind *thaw_ices_find(const char *name)
{
    for (int i = 0; i < N_ICES; i++) {
        if (thaw_words_same(name, ICES[i].name)) {
            return &ICES[i];
        }
    }
    return NULL;
}
