/* Figures of a garment's picture: over the cloth only, and of each panel. */
#ifndef THAW_STUDY_PANEL_FIGURES_H
#define THAW_STUDY_PANEL_FIGURES_H

#include "model/figures.h"
#include "model/print.h"
#include "study/outcome.h"

/* As thaw_look_measure, for a garment: what lies outside the outlines does not count, and the grain is that of the
 * largest rectangle of cloth within one panel. *wet and *dry: mean L*. */
thaw_status thaw_panel_figures_look(const thaw_outcome *work, const thaw_print *print, int n_colours,
                                    const thaw_colour *const *colours, thaw_look_figures *out, double *dry, double *wet,
                                    thaw_error *err);
/* As thaw_look_climb from the first row that hangs: over the columns that have cloth there; of one panel, or of all
 * for -1. NaN where there is no such column. */
thaw_status thaw_panel_figures_climb(const thaw_outcome *work, const thaw_print *print, int panel, thaw_climb *all,
                                     thaw_climb *each, thaw_error *err);
/* figures->panels. */
thaw_status thaw_panel_figures_fill(const thaw_outcome *work, const thaw_print *print, int n_colours,
                                    const thaw_colour *const *colours, thaw_preview_figures *figures, thaw_error *err);

#endif
