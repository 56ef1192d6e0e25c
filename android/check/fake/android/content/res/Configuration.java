package android.content.res;

public final class Configuration {
    public static final int UI_MODE_NIGHT_MASK = 0x30;
    public static final int UI_MODE_NIGHT_YES = 0x20;

    public int uiMode;
    public float fontScale = 1;
}
