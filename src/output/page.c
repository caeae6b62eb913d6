#include "output/page.h"

#include <stdio.h>
#include <string.h>

#include "base/alloc.h"
#include "base/error.h"
#include "output/base64.h"
#include "output/page_links.h"
#include "output/page_parts.h"
#include "output/page_parts_of.h"

#define TALL 1.3                   /* height / width: shown no higher than the window */

/* 'sha256-...' of the policy, from the sum in hexadecimal. */
static void put_sum(thaw_html *h, const char *hex)
{
    unsigned char sum[32];
    for (int i = 0; i < 32; i++) {
        unsigned byte = 0;
        sscanf(hex + 2 * i, "%2x", &byte);
        sum[i] = (unsigned char)byte;
    }
    thaw_put(h, "'sha256-");
    h->failed = h->failed || !thaw_base64_append(&h->text, sum, sizeof sum, h->err);
    thaw_put(h, "'");
}

static void put_meta(thaw_html *h, const char *name, const char *content)
{
    thaw_putf(h, "<meta name=\"%s\" content=\"", name);
    thaw_put_text(h, content);
    thaw_put(h, "\">\n");
}

static void put_head(thaw_html *h, const thaw_page *page)
{
    thaw_put(h, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
                "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src data:; style-src ");
    put_sum(h, thaw_page_style_sha256);
    thaw_put(h, "; script-src ");
    put_sum(h, thaw_page_script_sha256);
    thaw_put(h, "; base-uri 'none'; form-action 'none'\">\n"
                "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
                "<meta name=\"referrer\" content=\"no-referrer\">\n");
    thaw_put(h, THAW_LINK_DIGEST);
    thaw_put_text(h, page->digest);
    thaw_put(h, "\">\n");
    put_meta(h, "thawprint-seed", page->seed);
    thaw_put(h, "<meta name=\"generator\" content=\"thawprint ");
    thaw_put_text(h, page->version);
    thaw_put(h, "\">\n<title>");
    thaw_put_text(h, page->title);
    thaw_put(h, " - dye notebook</title>\n<style>");
    thaw_put(h, thaw_page_style);
    thaw_put(h, "</style>\n</head>\n");
}

static void put_header(thaw_html *h, const thaw_page *page)
{
    thaw_put(h, "<body>\n<header>\n<p class=\"kind\">Dye notebook</p>\n<h1>");
    thaw_put_text(h, page->title);
    thaw_put(h, "</h1>\n<p class=\"under\">");
    if (page->date[0]) {
        thaw_put_text(h, page->date);
    } else {
        thaw_put(h, "Date <span class=\"blank\"></span>");
    }
    thaw_put(h, " &middot; ");
    thaw_put_text(h, page->cloth);
    thaw_put(h, " &middot; a forecast, not yet the cloth</p>\n</header>\n<main>\n");
}

static void put_figure(thaw_html *h, const char *class, const thaw_page_picture *picture, const char *alt, const char *caption)
{
    const bool tall = picture->height > TALL * picture->width;
    thaw_putf(h, "<figure class=\"%s%s\">", class, tall ? " tall" : "");
    thaw_put_picture(h, picture, alt);
    thaw_put(h, "<figcaption>");
    thaw_put(h, caption);
    thaw_put(h, "</figcaption></figure>\n");
}

static void put_cloth(thaw_html *h, const thaw_page *page)
{
    const thaw_page_picture *pictures = page->pictures;
    thaw_put(h, "<section aria-label=\"The cloth\">\n<div class=\"pair\" id=\"pair\">\n");
    put_figure(h, "dry", &pictures[THAW_PAGE_DRY], "Forecast of the whole cloth, unfolded, rinsed and dry", "Rinsed and dry.");
    put_figure(h, "wet", &pictures[THAW_PAGE_WET], "The same cloth wet, before the rinse, with all dye on it",
               "Wet, before the rinse, with all dye on it.");
    thaw_put(h, "</div>\n<div class=\"slide\" id=\"slide-panel\" hidden><label for=\"slide\">Rinsed and dry. Slide to the right to see "
                "it wet, before the rinse.</label>\n"
                "<input type=\"range\" id=\"slide\" min=\"0\" max=\"100\" value=\"0\"></div>\n");
    thaw_part_facts(h, page);
    thaw_put(h, "</section>\n");
}

static void put_bundle(thaw_html *h, const thaw_page *page)
{
    thaw_put(h, "<section>\n<h2>The bundle</h2>\n<div class=\"fold\">\n");
    put_figure(h, "narrow", &page->pictures[THAW_PAGE_BUNDLE], "The folded bundle from above at the end, still wet",
               "From above when the time is up, still wet.");
    put_figure(h, "plate", &page->pictures[THAW_PAGE_FOLD], "Map of the fold: where each part of the cloth lies in the bundle",
               "Where each part of the cloth lies. Light lies on top; the darker, the more layers lie above.");
    thaw_put(h, "</div>\n</section>\n");
}

static void put_chances(thaw_html *h, const thaw_page *page)
{
    const thaw_page_picture *p = page->pictures;
    if (page->n_chances == 0) {
        return;
    }
    thaw_putf(h, "<section>\n<h2>What is sure and what is luck</h2>\n<p>The same recipe %d times over, with other luck each time and "
              "with room, ice, cloth and dye off by as much as they may be.</p>\n<div class=\"two\">\n", page->n_chances);
    if (p[THAW_PAGE_TYPICAL].bytes) {
        put_figure(h, "plate", &p[THAW_PAGE_TYPICAL], "The typical outcome, dry", "The typical outcome: the one nearest to all others.");
    }
    if (p[THAW_PAGE_WHITE].bytes) {
        put_figure(h, "plate", &p[THAW_PAGE_WHITE], "Map of how likely each place of the cloth stays white",
                   "Chance of white: how likely each place stays white.");
    }
    thaw_put(h, "</div>\n");
    if (p[THAW_PAGE_OTHERS].bytes) {
        put_figure(h, "plate", &p[THAW_PAGE_OTHERS], "Six other outcomes, from near the typical one to far from it",
                   "Others, from near the typical outcome to far from it.");
    }
    if (p[THAW_PAGE_COLOURS].bytes) {
        put_figure(h, "plate", &p[THAW_PAGE_COLOURS], "Maps of how likely each colour leads at each place of the cloth",
                   "How likely each colour leads.");
    }
    thaw_put(h, "</section>\n");
}

static void put_remarks(thaw_html *h)
{
    thaw_put(h, "<section>\n<h2>Remarks and swatch</h2>\n<p class=\"note\">To fill in by hand on the printed page.</p>\n<div aria-hidden=\"true\">\n");
    for (int i = 0; i < 7; i++) {
        thaw_put(h, "<div class=\"lines\"></div>\n");
    }
    thaw_put(h, "<div class=\"swatch note\">Swatch of the finished cloth</div>\n</div>\n</section>\n");
}

static void put_file(thaw_html *h, const thaw_page_file *file)
{
    thaw_put(h, "<li>" THAW_LINK_NAME);
    thaw_put_text(h, file->name);
    thaw_put(h, THAW_LINK_DATA);
    h->failed = h->failed || !thaw_base64_append(&h->text, file->bytes, file->n, h->err);
    thaw_put(h, "\">Save ");
    thaw_put_text(h, file->name);
    thaw_put(h, "</a></li>\n");
}

static void put_scenario(thaw_html *h, const thaw_page *page)
{
    thaw_put(h, "<section>\n<h2>The scenario</h2>\n<p>Every value of this run. This page alone repeats it to the same bytes: "
                "<code>thawprint notebook --take-out PAGE.html -o FOLDER</code> writes the files below into a folder, then "
                "<code>thawprint preview FOLDER/scenario.yaml</code>.</p>\n<ul class=\"save\">\n");
    for (int i = 0; i < page->n_files; i++) {
        put_file(h, &page->files[i]);
    }
    thaw_put(h, "</ul>\n<pre id=\"scenario\">");
    thaw_put_text(h, page->files[0].bytes);
    thaw_put(h, "</pre>\n</section>\n");
}

static void put_foot(thaw_html *h, const thaw_page *page)
{
    thaw_put(h, "</main>\n<footer><p>thawprint ");
    thaw_put_text(h, page->version);
    thaw_put(h, " &middot; digest of the scenario ");
    thaw_put_text(h, page->digest);
    thaw_put(h, " &middot; seed ");
    thaw_put_text(h, page->seed);
    thaw_put(h, " &middot; detail ");
    thaw_put_text(h, page->detail);
    thaw_put(h, "</p></footer>\n<script>");
    thaw_put(h, thaw_page_script);
    thaw_put(h, "</script>\n</body>\n</html>\n");
}

thaw_status thaw_page_html(const thaw_page *page, unsigned char **bytes, size_t *n, thaw_error *err)
{
    thaw_html h = {.err = err};
    put_head(&h, page);
    put_header(&h, page);
    put_cloth(&h, page);
    thaw_part_record(&h, page);
    put_bundle(&h, page);
    thaw_part_melt(&h, page);
    put_chances(&h, page);
    thaw_part_figures(&h, page);
    thaw_part_plan(&h, page);
    put_remarks(&h);
    put_scenario(&h, page);
    put_foot(&h, page);
    if (h.failed) {
        thaw_release(h.text.bytes);
        return thaw_fail(err, THAW_ERR_MEMORY, "not enough memory for the page");
    }
    *bytes = h.text.bytes;
    *n = h.text.n;
    return THAW_OK;
}
