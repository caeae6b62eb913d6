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

static void put_plan(thaw_html *h, const thaw_page_picture *picture, const char *head, const char *alternative, const char *caption)
{
    if (!picture->bytes) {
        return;
    }
    thaw_put(h, "<h3>");
    thaw_put(h, head);
    thaw_put(h, "</h3>\n<figure class=\"plate\">");
    thaw_put_picture(h, picture, alternative);
    thaw_put(h, "<figcaption>");
    thaw_put(h, caption);
    thaw_put(h, "</figcaption></figure>\n");
}

void thaw_part_plan(thaw_html *h, const thaw_page *page)
{
    thaw_put(h, "<section>\n<h2>To make it</h2>\n");
    thaw_put_table(h, page->materials);
    thaw_put_table(h, page->timetable);
    put_plan(h, &page->pictures[THAW_PAGE_BORDER], "Where to stop the ice", "Chart of how far each dye climbs over the hours, with the ice line",
             "How far each dye climbs, and the line up to which the ice may reach.");
    put_plan(h, &page->pictures[THAW_PAGE_LAY], "Where to cut", "The pattern pieces laid on the forecast cloth",
             "Pattern pieces on the forecast cloth. Lay them anew on the real one before you cut.");
    thaw_put(h, "<div class=\"together\"><h3>Cautions</h3>\n<ul>\n");
    for (size_t i = 0; i < sizeof cautions / sizeof *cautions; i++) {
        thaw_put(h, "<li>");
        thaw_put(h, cautions[i]);
        thaw_put(h, "</li>\n");
    }
    thaw_put(h, "</ul></div>\n</section>\n");
}
