// The style sheet of all charts: inks and palette for light and dark, dashes, sizes of letters.

#include "viz/charts/chart.hpp"

namespace setstress {

namespace {

constexpr const char* light_inks =
    R"(.chart{--ink:#1d1d1f;--faint:#0000001c;--quiet:#55585e;--k0:#0064a8;--k1:#c04f00;--k2:#00795a;--k3:#a0437c;--k4:#8a6d00;--k5:#5f6368;font-family:system-ui,sans-serif;color:var(--ink);width:100%;height:auto;display:block}
)";
constexpr const char* dark_inks =
    R"(@media(prefers-color-scheme:dark){.chart{--ink:#ececf0;--faint:#ffffff24;--quiet:#b0b3ba;--k0:#6ab7f5;--k1:#ff9a55;--k2:#4fd0a5;--k3:#ef9bcb;--k4:#e8c34a;--k5:#a8adb5}}
)";

}  // namespace

std::string chart_style(bool dark_too) {
  return std::string(light_inks) + (dark_too ? dark_inks : "") +
         R"(.chart text{font-size:10.5px;fill:var(--ink)}.chart .title{font-size:12.5px;font-weight:600}.chart .note,.chart .tick{fill:var(--quiet)}.chart .cell{font-size:10px}.chart .on-dark{fill:#fff}.chart .on-pale{fill:#111}.chart .on-none{fill:var(--quiet)}
.chart .frame{fill:none;stroke:var(--quiet)}.chart .grid{stroke:var(--faint);fill:none}.chart .rule{stroke:var(--ink);stroke-dasharray:5 3;fill:none}
.chart .line{fill:none;stroke-width:1.8}.chart .whisker{fill:none;stroke-width:1.3}.chart .band{fill-opacity:.2}
.chart .c0{stroke:var(--k0)}.chart .c1{stroke:var(--k1)}.chart .c2{stroke:var(--k2)}.chart .c3{stroke:var(--k3)}.chart .c4{stroke:var(--k4)}.chart .c5{stroke:var(--k5)}
.chart .line.c1{stroke-dasharray:7 3}.chart .line.c2{stroke-dasharray:2 3}.chart .line.c3{stroke-dasharray:8 3 2 3}.chart .line.c4{stroke-dasharray:4 2}.chart .line.c5{stroke-dasharray:1 2}
.chart .f0{fill:var(--k0)}.chart .f1{fill:var(--k1)}.chart .f2{fill:var(--k2)}.chart .f3{fill:var(--k3)}.chart .f4{fill:var(--k4)}.chart .f5{fill:var(--k5)}
)";
}

}  // namespace setstress
