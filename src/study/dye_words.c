#include "study/dye_words.h"

#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#define MOST_NAMED 2               /* mixtures told by name; more would not fit a table */

typedef struct mixtures {
    int n;
    const char *names[THAW_MAX_DYE_ZONES];
} mixtures;

/* What is mixed where it is laid is named by its parts: too long here. */
static const char *short_name(const thaw_colour *colour)
{
    return strstr(colour->name, " + ") ? "your mixture" : colour->name;
}

static void add_mixture(mixtures *found, const char *name)
{
    for (int i = 0; i < found->n; i++) {
        if (strcmp(found->names[i], name) == 0) {
            return;
        }
    }
    found->names[found->n++] = name;
}

/* Where the file has it: alone, and in which mixtures, in the order of the file. */
static bool find_uses(const thaw_specification *spec, int row, mixtures *found)
{
    bool is_alone = false;
    for (int z = 0; z < spec->n_dye; z++) {
        const thaw_colour *colour = spec->dye[z].colour;
        for (int p = 0; p < colour->n_parts; p++) {
            if (colour->parts[p].component == row && colour->n_parts == 1) {
                is_alone = true;
            } else if (colour->parts[p].component == row) {
                add_mixture(found, short_name(colour));
            }
        }
    }
    return is_alone;
}

const char *thaw_dye_words(const thaw_specification *spec, const thaw_dye_list *dyes, int i, char out[THAW_DYE_NAME])
{
    mixtures in = {0};
    char list[THAW_DYE_NAME - 64] = "";
    const char *dye = dyes->components[i]->name;
    const bool is_alone = find_uses(spec, dyes->rows[i], &in);
    if (in.n > 0) {
        snprintf(list, sizeof list, "%.47s%s%.47s", in.names[0], in.n > 1 ? " and " : "",
                 in.n > MOST_NAMED ? "others" : in.n > 1 ? in.names[1] : "");
    }
    if (in.n == 0) {
        snprintf(out, THAW_DYE_NAME, "%.47s", dye);
    } else if (is_alone) {
        snprintf(out, THAW_DYE_NAME, "%.47s, also in %s", dye, list);
    } else {
        snprintf(out, THAW_DYE_NAME, "%s (%s %.47s part)", list, in.n > 1 ? "their" : "its", dye);
    }
    return out;
}
