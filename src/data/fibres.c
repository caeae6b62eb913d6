/* Densities 1520, 1500, 1340, 1310 kg/m3 and those of the fibres that take no dye: handbook figures, from memory. Bound
 * water: from memory, proposals from sorption near 100 % humidity and swelling; of fibres that hardly swell, an
 * estimate from regain (nylon 4.0 %, polyester 0.4 %, seen). Ceilings of fixed dye: estimates, anchored on cotton. */
#include "data/fibres.h"

#include <stddef.h>
#include <string.h>

#include "base/words.h"

#define NO_GROUPS                                                                                  \
    "has no groups that fibre-reactive dye bonds to in cold soda ash: the dye would rinse out"

static const thaw_fibre FIBRES[] = {
    {"cotton", 1520.0, 0.30, NULL, false, 0.045, 1.00, 1.0, "density, bound water from memory; ceiling estimate; yield, speed by definition"},
    {"linen", 1500.0, 0.32, NULL, false, 0.040, 0.85, 1.0, "density, bound water from memory; ceiling, yield, speed estimate"},
    {"viscose", 1520.0, 0.65, NULL, false, 0.070, 1.40, 1.0, "density, bound water, yield from memory; ceiling, speed estimate"},
    {"lyocell", 1520.0, 0.45, NULL, false, 0.070, 1.40, 1.0,
     "density from memory; bound water estimate, as its water retention (60 to 70 %) to that of viscose; the rest as viscose"},
    {"silk", 1340.0, 0.30, NULL, true, 0.040, 0.95, 0.8, "density, bound water from memory; ceiling, yield, speed estimate"},
    {"wool", 1310.0, 0.33, NULL, true, 0.050, 0.85, 0.8, "density, bound water from memory; ceiling, yield, speed estimate"},
    {"polyester", 1380.0, 0.01, NO_GROUPS, false, 0.0, 0.0, 0.0, "density from memory; bound water estimate"},
    {"nylon", 1140.0, 0.05,
     "takes reactive dye only hot and in acid, hardly at all in cold soda ash: the dye would rinse out", false, 0.0, 0.0, 0.0,
     "density from memory; bound water estimate"},
    {"acrylic", 1170.0, 0.02, NO_GROUPS, false, 0.0, 0.0, 0.0, "density from memory; bound water estimate"},
    {"elastane", 1200.0, 0.01, NO_GROUPS, false, 0.0, 0.0, 0.0, "density from memory; bound water estimate"},
    {"acetate", 1310.0, 0.06,
     "has its bonding groups blocked, and soda ash harms it: the dye would rinse out", false, 0.0, 0.0, 0.0,
     "density from memory; bound water estimate"},
    {"polypropylene", 910.0, 0.0, NO_GROUPS, false, 0.0, 0.0, 0.0, "density from memory; bound water estimate"},
};

static const struct other_name {
    const char *name, *means;
} OTHER_NAMES[] = {
    {"flax", "linen"},          {"rayon", "viscose"},      {"polyamide", "nylon"}, {"spandex", "elastane"},
    {"triacetate", "acetate"},  {"polyacrylic", "acrylic"}, {"microfibre", "polyester"},
};

#define N_FIBRES ((int)(sizeof FIBRES / sizeof FIBRES[0]))
#define N_OTHER  ((int)(sizeof OTHER_NAMES / sizeof OTHER_NAMES[0]))

int thaw_fibres_count(void)
{
    return N_FIBRES;
}

const thaw_fibre *thaw_fibres_at(int i)
{
    return i >= 0 && i < N_FIBRES ? &FIBRES[i] : NULL;
}

const thaw_fibre *thaw_fibres_find(const char *name)
{
    for (int i = 0; i < N_OTHER; i++) {
        name = thaw_words_same(name, OTHER_NAMES[i].name) ? OTHER_NAMES[i].means : name;
    }
    for (int i = 0; i < N_FIBRES; i++) {
        if (thaw_words_same(name, FIBRES[i].name)) {
            return &FIBRES[i];
        }
    }
    return NULL;
}

const thaw_fibre *thaw_fibres_idle_in(const char *text)
{
    char word[32];
    while (*text) {
        size_t n = strcspn(text, " ,/-");
        if (n > 0 && n < sizeof word) {
            memcpy(word, text, n);
            word[n] = '\0';
            const thaw_fibre *fibre = thaw_fibres_find(word);
            if (fibre && fibre->refusal) {
                return fibre;
            }
        }
        text += n + (text[n] != '\0');
    }
    return NULL;
}
