#include "setup/pleat.h"

#include <math.h>

/* Forward F, back F - plan, in all `cloth`. Each pleat lies on the one after it, so the height falls by two
 * layers, a fold of cloth, on the way `plan`. Pleats that hardly overlap lie flatter, and none lies flat. */
thaw_pleat thaw_pleat_of(double c, double cloth, double plan)
{
    const double tip = 0.5 * (cloth + plan);
    thaw_pleat p = {.along = c, .back = c > tip};
    if (p.back)
        p.along = 2.0 * tip - c;
    p.layers = fmin(1.0, (cloth - plan) / plan) * (2.0 * (tip - p.along) / plan + (p.back ? 1.0 : 0.0));
    return p;
}

double thaw_pleat_bias(double cloth, double plan)
{
    const double tip = 0.5 * (cloth + plan);
    return (tip * tip - 0.5 * plan * plan) / cloth - 0.5 * plan;
}
