#include "output/melt_curve.h"

#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include "base/alloc.h"

#define ROW_BYTES      96
#define S_PER_H        3600.0
#define G_MIN_PER_KG_S 60000.0
#define ICE_POINT_K    273.15
static const char header[] = "time_h,ice_left_kg,melt_g_per_min,cloth_degC\n";

/* Some locales print a comma as decimal mark; numbers are printed apart so that it can be told from
 * the comma between columns. */
static size_t add_number(char *at, double value, char end)
{
    int n = snprintf(at, ROW_BYTES / 4 - 1, "%.6g", value);
    char *comma = strchr(at, ',');
    if (comma) {
        *comma = '.';
    }
    at[n] = end;
    return (size_t)n + 1;
}

thaw_status thaw_melt_curve_text(const double *t_s, const double *ice_kg, const double *melt_kg_s,
                                 const double *cloth_k, int n, char **out, thaw_error *err)
{
    char *text = thaw_allocate(sizeof header + (size_t)n * ROW_BYTES, 1, err);
    if (!text) {
        return THAW_ERR_MEMORY;
    }
    size_t used = sizeof header - 1;
    memcpy(text, header, used);
    for (int i = 0; i < n; i++) {
        used += add_number(text + used, t_s[i] / S_PER_H, ',');
        used += add_number(text + used, ice_kg[i], ',');
        used += add_number(text + used, melt_kg_s[i] * G_MIN_PER_KG_S, ',');
        used += add_number(text + used, cloth_k[i] - ICE_POINT_K, '\n');
    }
    text[used] = '\0';
    *out = text;
    return THAW_OK;
}
