#include "guard.hpp"
