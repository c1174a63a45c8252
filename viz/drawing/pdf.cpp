// PDF 1.4 (ISO 32000-1): one page of filled and stroked paths and of text in the reader's own Helvetica.

#include <fmt/core.h>

#include "viz/drawing/vector_page.hpp"

namespace setstress::viz {
namespace {

std::string in_pdf(const Colour& colour) {
  return fmt::format("{:.3f} {:.3f} {:.3f}", colour[0], colour[1], colour[2]);
}

/// As a PDF string: of UTF-8, what Latin-1 has; a question mark for the rest.
std::string pdf_string(const std::string& text) {
  std::string safe;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto byte = static_cast<unsigned char>(text[i]);
    if (byte >= 0x80) {
      const bool latin = (byte == 0xC2 || byte == 0xC3) && i + 1 < text.size();
      safe += latin ? static_cast<char>((byte << 6) | (static_cast<unsigned char>(text[i + 1]) & 0x3F)) : '?';
      while (i + 1 < text.size() && (static_cast<unsigned char>(text[i + 1]) & 0xC0) == 0x80) ++i;
      continue;
    }
    if (text[i] == '(' || text[i] == ')' || text[i] == '\\') safe += '\\';
    safe += text[i];
  }
  return safe;
}

class PdfWriter {
 public:
  explicit PdfWriter(const VectorPage& page) : page_(page) {}

  void operator()(const VectorPage::Fill& fill) {
    text_ += in_pdf(fill.colour) + " rg\n";
    for (const auto& polygon : fill.polygons) add_points(polygon);
    text_ += "f\n";
  }
  void operator()(const VectorPage::Stroke& stroke) {
    text_ += fmt::format("{} RG {:.2f} w 1 j 1 J [{}] 0 d\n", in_pdf(stroke.colour), stroke.width,
                         stroke.dashed ? fmt::format("{:.1f}", 4 * stroke.width) : std::string());
    for (const auto& path : stroke.paths) add_points(path);
    text_ += "S\n";
  }
  void operator()(const VectorPage::Text& text) {
    const TextStyle& style = text.style;
    const double width = text_width(text.text, style);
    const double left = style.align == Align::left     ? text.x
                        : style.align == Align::centre ? text.x - width / 2
                                                       : text.x - width;
    const double base = text.y - 0.35 * style.size;
    if (style.plate)
      text_ += fmt::format("{} rg {:.2f} {:.2f} {:.2f} {:.2f} re f\n", in_pdf(page_.paper()),
                           left - 0.15 * style.size, text.y - 0.6 * style.size, width + 0.3 * style.size,
                           1.2 * style.size);
    text_ += fmt::format("BT {} rg /{} {:.2f} Tf {:.2f} {:.2f} Td ({}) Tj ET\n",
                         in_pdf(style.faint ? page_.faint_ink() : page_.ink()), style.bold ? "Bold" : "Plain",
                         style.size, left, base, pdf_string(text.text));
  }
  std::string& text() { return text_; }

 private:
  void add_points(const std::vector<FlatPoint>& points) {
    for (std::size_t i = 0; i < points.size(); ++i)
      text_ += fmt::format("{:.2f} {:.2f} {}\n", points[i][0], points[i][1], i == 0 ? "m" : "l");
  }

  const VectorPage& page_;
  std::string text_;
};

/// The numbered objects of a file with the table that says where each begins.
std::string assembled(const std::vector<std::string>& objects) {
  std::string file = "%PDF-1.4\n";
  std::vector<std::size_t> begins;
  for (std::size_t i = 0; i < objects.size(); ++i) {
    begins.push_back(file.size());
    file += fmt::format("{} 0 obj\n{}\nendobj\n", i + 1, objects[i]);
  }
  const std::size_t table = file.size();
  file += fmt::format("xref\n0 {}\n0000000000 65535 f \n", objects.size() + 1);
  for (const std::size_t begin : begins) file += fmt::format("{:010} 00000 n \n", begin);
  return file + fmt::format("trailer\n<< /Size {} /Root 1 0 R >>\nstartxref\n{}\n%%EOF\n", objects.size() + 1,
                            table);
}

}  // namespace

std::string VectorPage::pdf() const {
  PdfWriter writer(*this);
  if (background() != Background::transparent)
    writer.text() += fmt::format("{} rg 0 0 {} {} re f\n", in_pdf(paper()), width(), height());
  for (const Shape& shape : shapes_) std::visit(writer, shape);
  const auto font = [](const char* name) {
    return fmt::format("<< /Type /Font /Subtype /Type1 /BaseFont /{} /Encoding /WinAnsiEncoding >>", name);
  };
  return assembled(
      {"<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
       fmt::format(
           "<< /Type /Page /Parent 2 0 R /MediaBox [0 0 {} {}] /Contents 4 0 R /Resources << /Font << "
           "/Plain 5 0 R /Bold 6 0 R >> >> >>",
           width(), height()),
       fmt::format("<< /Length {} >>\nstream\n{}endstream", writer.text().size(), writer.text()),
       font("Helvetica"), font("Helvetica-Bold")});
}

}  // namespace setstress::viz
