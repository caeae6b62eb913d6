/* What to buy and when to do what, as tables of the notebook page. */
#ifndef THAW_API_NOTEBOOK_TABLES_H
#define THAW_API_NOTEBOOK_TABLES_H

#include "model/page.h"
#include "scenario/scenario.h"
#include "thawprint/supplies.h"

/* From the scenario, the list of its supplies and the figures of its run. */
void thaw_notebook_materials(const thaw_scenario *scenario, const thaw_supplies_figures *supplies, thaw_page_table *out);
void thaw_notebook_timetable(const thaw_scenario *scenario, const thaw_preview_figures *figures, const thaw_supplies_figures *supplies,
                             thaw_page_table *out);

#endif
