#pragma once
// What a picture is drawn on.

namespace setstress {

enum class Background { white, dark, transparent };

}  // namespace setstress
