#include "api/catalogue_detail.h"

#include <string.h>

#include "data/cloths.h"
#include "data/dyes.h"
#include "look/swatch.h"

#define PER_CENT 100.0

static void add_figure(thaw_writer *w, const thaw_figure_row *row, const void *thing, const char *source)
{
    thaw_writer_add(w, "    %-20s %8.4g %-10s  %s\n", row->key, thaw_figure_value(row, thing) / row->per_unit,
                    row->unit, source);
}

void thaw_detail_cloth(thaw_writer *w, const thaw_cloth_kind *cloth)
{
    thaw_error err = {0};
    thaw_swatch bare;
    thaw_writer_add(w, "    %-20s %s\n", "fibre", cloth->fibre);
    for (int f = 0; f < THAW_CLOTH_FIGURES; f++) {
        add_figure(w, thaw_cloth_row((thaw_cloth_figure)f), cloth, cloth->sources[f]);
    }
    if (thaw_look_swatch(cloth, 0, NULL, NULL, &bare, &err) == THAW_OK) {
        thaw_writer_add(w, "    %-20s L* %.1f a* %.1f b* %.1f  computed: from its warmth\n", "undyed colour",
                        bare.lab[0], bare.lab[1], bare.lab[2]);
    }
}

void thaw_detail_dye(thaw_writer *w, const thaw_component *dye)
{
    for (int f = 0; f < THAW_DYE_FIGURES; f++) {
        add_figure(w, thaw_dye_row((thaw_dye_figure)f), dye, thaw_dye_source(dye, (thaw_dye_figure)f));
    }
    thaw_writer_add(w, "    %-20s ", "bands");
    for (int b = 0; b < dye->n_bands; b++) {
        thaw_writer_add(w, "%s%g +- %g nm: %g", b ? "; " : "", dye->bands[b].centre_nm, dye->bands[b].width_nm,
                        dye->bands[b].height);
    }
    thaw_writer_add(w, "\n    %-20s %s\n", "",
                    dye->note ? dye->note
                              : "estimate: wavelengths of published solution spectra, heights +-40 %");
}

void thaw_detail_colour(thaw_writer *w, const thaw_colour *colour, const thaw_component *const *parts)
{
    thaw_writer_add(w, "    ");
    for (int p = 0; p < colour->n_parts; p++) {
        thaw_writer_add(w, "%s%s %.4g %%", p ? ", " : "", parts[p]->name, PER_CENT * colour->parts[p].share);
    }
    thaw_writer_add(w, "\n");
}

static void add_meaning(thaw_writer *w, const thaw_figure_row *row)
{
    thaw_writer_add(w, "  %-20s %s\n", row->key, row->meaning);
}

void thaw_detail_legend(thaw_writer *w, const char *kind)
{
    const char *const tags = "Tags: seen in a source, from memory of the literature, computed, estimate, definition.\n";
    if (strcmp(kind, "cloths") == 0) {
        thaw_writer_add(w, "Figures, their conditions; then each cloth with value, unit and source.\n%s", tags);
        for (int f = 0; f < THAW_CLOTH_FIGURES; f++) {
            add_meaning(w, thaw_cloth_row((thaw_cloth_figure)f));
        }
    }
    if (strcmp(kind, "dyes") == 0) {
        thaw_writer_add(w, "Figures, their conditions; then each dye with value, unit and source.\n%s", tags);
        for (int f = 0; f < THAW_DYE_FIGURES; f++) {
            add_meaning(w, thaw_dye_row((thaw_dye_figure)f));
        }
        thaw_writer_add(w, "  %-20s centre, width (sigma) and height of each absorption band; height in K/S per\n"
                           "  %-20s g of fixed powder per kg of dry cotton\n",
                        "bands", "");
    }
    if (strcmp(kind, "colours") == 0) {
        thaw_writer_add(w, "Dyes in each colour, shares by mass of powder as sold.\n");
    }
}
