#include "witness.hpp"
