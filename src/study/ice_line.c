#include "study/ice_line.h"

#include <math.h>
#include <stdio.h>

#define EDGE_M 0.20                /* of the higher edge */
#define ICE_TIMES 0.5
#define PICKUP_TIMES 0.75          /* wrung again, between two hands and a towel: estimate */
#define PICKUP_LEAST 0.10          /* above the bound water, kg per kg: damp to the touch still */
#define LEAVE_TIMES 0.5
#define LEAVE_LEAST_S 3600.0
#define TIE_BELOW_M 0.02           /* its middle, below the wanted end */

void thaw_ice_line_move(const thaw_specification *spec, double line_m, bool hangs_free, thaw_specification *out)
{
    const double times = line_m / spec->hang.from_m, left_m = spec->length_m - line_m;
    *out = *spec;
    out->hang.from_m = line_m;
    out->hang.up_m = fmin(spec->hang.up_m, left_m);
    out->hang.down_m = hangs_free ? left_m - out->hang.up_m : fmin(spec->hang.down_m, left_m - out->hang.up_m);
    out->hang.tie_m = spec->hang.tie_m > line_m ? spec->hang.tie_m : 0.0;
    for (int z = 0; z < spec->n_ice; z++) {
        out->ice[z].mass_kg *= times;
    }
    for (int z = 0; z < spec->n_dye; z++) {
        out->dye[z].mass_kg *= times;
        out->dye[z].volume_m3 *= times;
    }
    for (int z = 0; z < spec->n_soda; z++) {
        out->soda[z].mass_kg *= times;
    }
}

double thaw_ice_line_free_end_m(const thaw_specification *spec)
{
    return spec->hang.up_m - spec->hang.down_m;
}

const char *thaw_remedy_key(thaw_remedy remedy)
{
    static const char *const keys[THAW_REMEDIES] = {"free end up", "higher edge", "less ice", "drier cloth",
                                                    "shorter leave", "open air", "tie", "all together"};
    return keys[remedy];
}

static bool keep_end_up(thaw_specification *s, char *what, size_t size)
{
    if (!(thaw_ice_line_free_end_m(s) < 0.0)) {
        return false;
    }
    s->hang.down_m = s->hang.up_m;
    snprintf(what, size, "keep the free end no lower than the ice: lay what is over level, let only %.0f cm hang down",
             100.0 * s->hang.down_m);
    return true;
}

static bool raise_edge(thaw_specification *s, char *what, size_t size)
{
    const double left_m = s->length_m - s->hang.from_m;
    if (!(s->hang.up_m < EDGE_M - 1e-9 && left_m > EDGE_M)) {
        return false;
    }
    s->hang.up_m = EDGE_M;
    s->hang.down_m = fmin(s->hang.down_m, fmin(EDGE_M, left_m - EDGE_M));
    snprintf(what, size, "lead it over an edge %.0f cm above the rack, the free end no lower than the ice", 100.0 * EDGE_M);
    return true;
}

static bool take_ice(thaw_specification *s, char *what, size_t size)
{
    double kg = 0.0;
    for (int z = 0; z < s->n_ice; z++) {
        s->ice[z].mass_kg *= ICE_TIMES;
        s->ice[z].depth_m *= ICE_TIMES;
        kg += s->ice[z].mass_kg;
    }
    snprintf(what, size, kg >= 1.0 ? "half the ice: %.2f kg" : kg > 0.0 ? "half the ice: %.0f g" : "half the ice", kg >= 1.0 ? kg : 1e3 * kg);
    return s->n_ice > 0;
}

static bool wring(thaw_specification *s, char *what, size_t size)
{
    const double least = s->cloth->bound_kg_kg + PICKUP_LEAST, now = s->pickup_kg_kg;
    if (s->starts_dry || !(now > least)) {
        return false;
    }
    s->pickup_kg_kg = fmax(least, PICKUP_TIMES * now);
    snprintf(what, size, "less water in the cloth at the start: wrung to %.0f %% in place of %.0f %%", 100.0 * s->pickup_kg_kg,
             100.0 * now);
    return true;
}

static bool shorten(thaw_specification *s, char *what, size_t size)
{
    if (!(LEAVE_TIMES * s->leave_s >= LEAVE_LEAST_S)) {
        return false;
    }
    s->leave_s *= LEAVE_TIMES;
    snprintf(what, size, "rinse after %.3g h in place of %.3g h (less of the dye will have bonded)", s->leave_s / 3600.0,
             s->leave_s / 3600.0 / LEAVE_TIMES);
    return true;
}

static bool uncover(thaw_specification *s, char *what, size_t size)
{
    const bool was = s->covered;
    s->covered = false;
    snprintf(what, size, "open air in place of film");
    return was;
}

static bool tie(thaw_specification *s, double end_m, char *what, size_t size)
{
    const double at_m = end_m - TIE_BELOW_M;
    if (s->hang.tie_m > 0.0 || !(at_m > s->hang.from_m + TIE_BELOW_M)) {
        return false;
    }
    s->hang.tie_m = at_m;
    snprintf(what, size, "a tight tie across the cloth %.0f cm from the dyed end", 100.0 * at_m);
    return true;
}

static bool apply_all(double end_m, thaw_specification *spec, char *what, size_t size)
{
    char ignored[160];
    int n = 0;
    for (int r = 0; r < THAW_REMEDY_ALL; r++) {
        n += thaw_remedy_apply((thaw_remedy)r, end_m, spec, ignored, sizeof ignored);
    }
    snprintf(what, size, "all of these together");
    return n > 1;
}

bool thaw_remedy_apply(thaw_remedy remedy, double end_m, thaw_specification *spec, char *what, size_t size)
{
    switch (remedy) {
    case THAW_REMEDY_LEVEL:
        return keep_end_up(spec, what, size);
    case THAW_REMEDY_EDGE:
        return raise_edge(spec, what, size);
    case THAW_REMEDY_LESS_ICE:
        return take_ice(spec, what, size);
    case THAW_REMEDY_DRIER:
        return wring(spec, what, size);
    case THAW_REMEDY_SHORTER:
        return shorten(spec, what, size);
    case THAW_REMEDY_OPEN:
        return uncover(spec, what, size);
    case THAW_REMEDY_TIE:
        return tie(spec, end_m, what, size);
    case THAW_REMEDY_ALL:
        return apply_all(end_m, spec, what, size);
    case THAW_REMEDIES:
        break;
    }
    return false;
}
