#pragma once
// What solves a group's linear systems.

namespace setstress {

enum class LaneMachine { processor, gpu };

}  // namespace setstress
