#include "data/cloths.h"

#include <stddef.h>

#include "base/words.h"

/* Mass, thickness and porosity: usual values from memory, V_p = porosity x thickness.
 * Conductivity and entry head: fits, at lambda 0.7 and 20 C, of wicking heights remembered for
 * these cloths (estimates; the true conductivity may lie a factor 1.5-3 either way). That the
 * Brooks-Corey form describes cloth rests on 247 measured runs of 24 knit groups, fitted to 1.7-2.6
 * %. lambda 0.7 is a choice within 0.5-1.0. Bound water 0.30: from memory, proposal from sorption
 * near 100 % humidity and swelling. Pick-up: usual after hand wringing, from memory (twill 90-130
 * %, jersey 110-160 %, light silk 90-140 %). Weft ratio: estimate within 0.8-1.3. Ceiling of fixed
 * dye (cotton 45, silk 40 g/kg) and colour yield: estimates anchored on the plateau of colour
 * strength at 6-7 % shade seen on cotton knit. Momme to g/m2, 4.340: seen. */
static const thaw_cloth_kind CLOTHS[] = {
    {
        .name = "cotton twill",
        .remark = "250 g/m2, woven, scoured: the wardrobe's work horse",
        .mass_kg_m2 = 0.250,
        .thickness_m = 0.52e-3,
        .pore_m = 0.356e-3,
        .bound_kg_kg = 0.30,
        .conductivity_m_s = 1.61e-4,
        .entry_head_m = 0.0424,
        .lambda = 0.7,
        .weft_ratio = 0.90,
        .capacity_kg_kg = 0.045,
        .colour_yield = 1.0,
        .reaction_ratio = 1.0,
        .pickup_kg_kg = 1.10,
        .white_warmth = 0.0,
        .source =
            "mass, thickness, pick-up, bound water from memory; wicking, weft ratio, dye estimate",
    },
    {
        .name = "cotton single jersey",
        .remark = "150 g/m2, knitted: holds more water, spreads wider; also `cotton jersey`",
        .mass_kg_m2 = 0.150,
        .thickness_m = 0.60e-3,
        .pore_m = 0.501e-3,
        .bound_kg_kg = 0.30,
        .conductivity_m_s = 1.92e-4,
        .entry_head_m = 0.0395,
        .lambda = 0.7,
        .weft_ratio = 0.85,
        .capacity_kg_kg = 0.045,
        .colour_yield = 1.0,
        .reaction_ratio = 1.0,
        .pickup_kg_kg = 1.35,
        .white_warmth = 0.1,
        .source =
            "mass, thickness, pick-up, bound water from memory; wicking, weft ratio, dye estimate",
    },
    {
        .name = "silk habotai",
        .remark = "8 momme (35 g/m2), thin and quick: needs less powder",
        .mass_kg_m2 = 0.0347,
        .thickness_m = 0.08e-3,
        .pore_m = 0.054e-3,
        .bound_kg_kg = 0.30,
        .conductivity_m_s = 1.93e-4,
        .entry_head_m = 0.0277,
        .lambda = 0.7,
        .weft_ratio = 1.0,
        .capacity_kg_kg = 0.040,
        .colour_yield = 0.95,
        .reaction_ratio = 0.8,
        .pickup_kg_kg = 1.15,
        .white_warmth = 0.3,
        .source = "8 x 4.340 g/m2 seen; thickness, pick-up, bound water from memory; wicking, "
                  "reaction ratio, dye estimate",
    },
};

static const struct other_name {
    const char *name;
    int row;
} OTHER_NAMES[] = {
    {"cotton jersey", 1},
    {"silk habotai 8 momme", 2},
};

#define N_CLOTHS ((int)(sizeof CLOTHS / sizeof CLOTHS[0]))
#define N_OTHER  ((int)(sizeof OTHER_NAMES / sizeof OTHER_NAMES[0]))

int thaw_cloths_count(void)
{
    return N_CLOTHS;
}

const thaw_cloth_kind *thaw_cloths_at(int i)
{
    return i >= 0 && i < N_CLOTHS ? &CLOTHS[i] : NULL;
}

const thaw_cloth_kind *thaw_cloths_find(const char *name)
{
    for (int i = 0; i < N_CLOTHS; i++) {
        if (thaw_words_same(name, CLOTHS[i].name)) {
            return &CLOTHS[i];
        }
    }
    for (int i = 0; i < N_OTHER; i++) {
        if (thaw_words_same(name, OTHER_NAMES[i].name)) {
            return &CLOTHS[OTHER_NAMES[i].row];
        }
    }
    return NULL;
}
