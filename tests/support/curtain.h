/* A narrow curtain of jersey: one end in ice, the rest over an edge. */
#ifndef THAW_TESTS_CURTAIN_H
#define THAW_TESTS_CURTAIN_H

#include "small.h"

typedef struct curtain {
    double width_cm, length_cm, from_cm, up_cm, down_cm, leave_h; /* down_cm < 0: all the rest */
    const char *cover;
} curtain;

/* 70 g of ice and 0.26 g of powder to a square decimetre under ice; the caller destroys it. */
static inline thaw_scenario *curtain_scenario(const curtain *c)
{
    char text[1024], down[40] = "";
    thaw_error err = {0};
    thaw_scenario *scenario = NULL;
    const double dm2 = c->width_cm * c->from_cm / 100.0;
    if (c->down_cm >= 0.0) {
        snprintf(down, sizeof down, ", down: %g cm", c->down_cm);
    }
    snprintf(text, sizeof text,
             "title: Curtain\ncloth: { kind: cotton jersey, width: %g cm, length: %g cm }\nfold: [ scrunch: { to: 70 %% } ]\n"
             "hang: { from: %g cm, up: %g cm%s }\nice: [ { kind: crushed, mass: %g g } ]\n"
             "dye: [ { colour: turquoise, mass: %g g, clumps: 40 %% }, { colour: navy, mass: %g g, clumps: 60 %% } ]\n"
             "room: { cover: %s }\nleave: %g h\ndetail: draft\n",
             c->width_cm, c->length_cm, c->from_cm, c->up_cm, down, 70.0 * dm2, 0.16 * dm2, 0.10 * dm2, c->cover ? c->cover : "none",
             c->leave_h);
    assert_done(thaw_scenario_parse(text, strlen(text), "curtain.yaml", 0.0, &scenario, &err), &err);
    return scenario;
}

#endif
