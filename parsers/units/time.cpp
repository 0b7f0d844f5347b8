#include "time.hpp"
