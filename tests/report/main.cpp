// setstress_report RECORDS REPORT.html TABLE.md [NOT-RUN ...]: from the records of the tests to the report.
#include <cstdio>
#include <exception>

#include "tests/report/write_html.hpp"
#include "viz/files/write_file.hpp"

int main(int count, char** arguments) {
  if (count < 4) {
    std::fputs("usage: setstress_report RECORDS REPORT.html TABLE.md [NAME OF A TEST NOT RUN ...]\n", stderr);
    return 2;
  }
  try {
    const auto chapters = setstress::testing::read_checks(arguments[1]);
    const std::vector<std::string> left_out(arguments + 4, arguments + count);
    setstress::write_file(arguments[2], setstress::testing::report_html(chapters, left_out));
    setstress::write_file(arguments[3], setstress::testing::short_table(chapters));
    int failed = 0;
    for (const auto& chapter : chapters) failed += chapter.failed();
    return failed == 0 ? 0 : 1;
  } catch (const std::exception& error) {
    std::fprintf(stderr, "setstress_report: %s\n", error.what());
    return 1;
  }
}
