#include "output/page_parts_of.h"

static const char *const cautions[] = {
    "<strong>Dye powder</strong> harms the lungs: respirator mask and gloves while any is dry, no draught, and nothing from the kitchen "
    "that goes back there.",
    "<strong>Soda ash</strong> irritates skin and eyes: gloves and goggles.",
    "<strong>The rinse is hot</strong>: mind your hands. Run it cold first, then warmer.",
    "<strong>Children and animals</strong> stay away from powder, soda water and melt.",
    "<strong>Waste</strong>, soda water, melt and rinse, goes to the drain well diluted, where local rules allow it; never into a ditch or "
    "onto the garden.",
    "<strong>The supplier's safety data sheet</strong> and local rules decide; this page does not stand in for them.",
};

void thaw_part_plan(thaw_html *h, const thaw_page *page)
{
    thaw_put(h, "<section>\n<h2>To make it</h2>\n");
    thaw_put_table(h, page->materials);
    thaw_put_table(h, page->timetable);
    thaw_put(h, "<div class=\"together\"><h3>Cautions</h3>\n<ul>\n");
    for (size_t i = 0; i < sizeof cautions / sizeof *cautions; i++) {
        thaw_put(h, "<li>");
        thaw_put(h, cautions[i]);
        thaw_put(h, "</li>\n");
    }
    thaw_put(h, "</ul></div>\n</section>\n");
}
