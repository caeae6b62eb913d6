/* What to buy and when to do what, as tables of the notebook page: the one place where other plans can be put in. */
#ifndef THAW_API_NOTEBOOK_TABLES_H
#define THAW_API_NOTEBOOK_TABLES_H

#include "model/page.h"
#include "scenario/scenario.h"

/* Both from the scenario and the figures of its run. */
void thaw_notebook_materials(const thaw_scenario *scenario, const thaw_preview_figures *figures, thaw_page_table *out);
void thaw_notebook_timetable(const thaw_scenario *scenario, const thaw_preview_figures *figures, thaw_page_table *out);

#endif
