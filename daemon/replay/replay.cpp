#include "replay.hpp"
