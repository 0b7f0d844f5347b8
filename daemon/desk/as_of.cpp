#include "desk.hpp"
