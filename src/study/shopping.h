/* What to weigh out for a scenario: from its values alone, without a run. */
#ifndef THAW_STUDY_SHOPPING_H
#define THAW_STUDY_SHOPPING_H

#include "scenario/scenario.h"
#include "study/ice_cover.h"
#include "thawprint/supplies.h"

/* Cloth, soak, powder and its packets (figures->packets, n_packets set), ice. On failure *figures is half filled. */
thaw_status thaw_shopping_fill(const thaw_scenario *scenario, const thaw_ice_cover *cover, thaw_supplies_figures *figures,
                               thaw_error *err);

#endif
