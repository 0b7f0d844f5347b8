#include "table.hpp"
