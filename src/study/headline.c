#include "study/headline.h"

#include <math.h>

#define LEAST_SHARE 0.002          /* odds of less are taken as of this */
#define LEAST_RATIO 1e-3           /* lengths and times below count as this */
#define AT(member) offsetof(thaw_preview_figures, member)

static const thaw_headline HEADLINES[] = {
    {"melt_most_h", "all but 1 % of the ice gone", "h", 3600.0, 1, THAW_SPREAD_RATIO, AT(melt_most_s), AT(melt_most_range_s)},
    {"melt_all_h", "last ice gone", "h", 3600.0, 1, THAW_SPREAD_RATIO, AT(melt_all_s), AT(melt_all_range_s)},
    {"ready_h", "leave it", "h", 3600.0, 0, THAW_SPREAD_RATIO, AT(ready_s), AT(ready_range_s)},
    {"fixed_percent", "dye fixed", "%", 0.01, 1, THAW_SPREAD_ODDS, AT(fixed_share), AT(fixed_share_range)},
    {"white_percent", "left white", "%", 0.01, 1, THAW_SPREAD_ODDS, AT(white_share), AT(white_range)},
    {"bleed_percent", "bleed", "%", 0.01, 1, THAW_SPREAD_ODDS, AT(bleed_share), AT(bleed_range)},
    {"fineness_percent", "fineness", "%", 0.01, 1, THAW_SPREAD_ODDS, AT(fineness), AT(fineness_range)},
    {"grain_weft_mm", "grain across", "mm", 1e-3, 1, THAW_SPREAD_RATIO, AT(grain_weft_m), AT(grain_weft_range_m)},
    {"grain_warp_mm", "grain along", "mm", 1e-3, 1, THAW_SPREAD_RATIO, AT(grain_warp_m), AT(grain_warp_range_m)},
    {"depth", "depth of colour", "L*", 1.0, 1, THAW_SPREAD_PLAIN, AT(depth), THAW_HEADLINE_NOWHERE},
    {"unevenness", "unevenness", "L*", 1.0, 1, THAW_SPREAD_PLAIN, AT(unevenness), THAW_HEADLINE_NOWHERE},
    {"climb_cm", "climb", "cm", 0.01, 0, THAW_SPREAD_RATIO, AT(climb_m[1]), AT(climb_range_m)},
};

double thaw_spread_to(double x, thaw_spread spread)
{
    if (spread == THAW_SPREAD_ODDS) {
        const double share = fmin(1.0 - LEAST_SHARE, fmax(LEAST_SHARE, x));
        return log(share / (1.0 - share));
    }
    return spread == THAW_SPREAD_RATIO ? log(fmax(LEAST_RATIO, x)) : x;
}

double thaw_spread_moved(double x, double by, thaw_spread spread)
{
    if (spread == THAW_SPREAD_ODDS) {
        const double ratio = exp(by), share = fmin(1.0 - LEAST_SHARE, fmax(LEAST_SHARE, x));
        const double off = share * ratio / (1.0 - share + share * ratio);
        return x < LEAST_SHARE && by < 0.0 ? x : x > 1.0 - LEAST_SHARE && by > 0.0 ? x : off;
    }
    return spread == THAW_SPREAD_PLAIN ? x + by : x * exp(by);
}

int thaw_headline_count(void)
{
    return (int)(sizeof HEADLINES / sizeof *HEADLINES);
}

const thaw_headline *thaw_headline_at(int h)
{
    return &HEADLINES[h];
}

double thaw_headline_value(const thaw_headline *headline, const thaw_preview_figures *figures)
{
    const size_t at = headline->value;
    const bool is_time = at == AT(melt_most_s) || at == AT(melt_all_s) || at == AT(ready_s);
    if (is_time && !figures->melted) {
        return INFINITY;
    }
    return *(const double *)((const char *)figures + at);
}
